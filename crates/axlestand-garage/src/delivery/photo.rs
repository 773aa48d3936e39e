//! Photos within a queue that is handed over: each is kept as a file, then named by an entry under the
//! same id, so that handed over and sent as well it is there once.

use super::{QueueAnswer, base64};
use crate::error::GarageError;
use crate::job::Garage;
use serde::Deserialize;
use serde_json::{Value, json};

/// One photo as it stands in a queue.
#[derive(Debug, Deserialize)]
struct QueuedPhoto {
    id: String,
    fields: Vec<(String, String)>,
    /// The picture, base64.
    picture: String,
}

impl Garage {
    /// Keeps a photo of a queue and records the entry that names it. One that cannot be kept waits to be
    /// looked at, without its picture.
    ///
    /// # Errors
    /// As [`Garage::deliver_queued`].
    pub(super) fn deliver_photo(
        &mut self,
        photo: &Value,
        device: &str,
        sent: f64,
    ) -> Result<QueueAnswer, GarageError> {
        let mut entry = photo.clone();
        if let Some(entry) = entry.as_object_mut() {
            entry.remove("picture");
        }
        if let Some(garage) = photo.get("garage").and_then(Value::as_str)
            && garage != self.identity()?
        {
            let id = photo.get("id").and_then(Value::as_str).unwrap_or_default().to_owned();
            return Ok(QueueAnswer::Elsewhere { id });
        }
        let kept = match serde_json::from_value::<QueuedPhoto>(photo.clone()) {
            Ok(photo) => self.picture_of(&photo).map(|file| (photo, file)),
            Err(why) => Err(GarageError::Input(format!("the photo is not understood ({why})"))),
        };
        match kept {
            Ok((photo, file)) => {
                let mut fields = photo.fields;
                fields.push(("file".to_owned(), file));
                if let Some(entry) = entry.as_object_mut() {
                    entry.insert("fields".to_owned(), json!(fields));
                    entry.entry("number").or_insert(json!(0));
                }
                self.deliver_queued(&entry, device, sent)
            }
            Err(why) if why.is_of_the_machine() => Err(why),
            Err(why) => self.keep_unread(&entry, device, sent, &why).map(QueueAnswer::Taken),
        }
    }

    fn picture_of(&self, photo: &QueuedPhoto) -> Result<String, GarageError> {
        let bytes = base64::decode(&photo.picture)
            .ok_or_else(|| GarageError::Photo("its text is no base64".to_owned()))?;
        self.keep_photo(&photo.id, &bytes)
    }
}

//! Photos: kept in the garage's folder, tied to a step, shown where the same thing goes back.
//!
//! A photo is decoded, turned upright, made smaller and written anew, so that nothing but the picture
//! is kept: no place, no camera, no time. The file is durable before the entry that names it.

use crate::error::GarageError;
use crate::job::{Garage, Job, Recorded};
use crate::{new_id, select, typed};
use axlestand_ledger::Event;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder as _, ImageReader, Limits};
use serde::Serialize;
use std::fs::File;
use std::io::{Cursor, ErrorKind, Write as _};
use std::path::{Path, PathBuf};

/// The most bytes that are taken in for one photo.
pub const MOST_BYTES: usize = 24 * 1024 * 1024;
/// The longest side of a photo that is taken in, pixels.
const MOST_PIXELS: u32 = 16_000;
/// The most memory that decoding may take, bytes.
const MOST_MEMORY: u64 = 512 * 1024 * 1024;
/// The longest side of a photo as it is kept: a bolt's head is still read on it, and it is sent to a
/// phone in a moment.
const KEPT_PIXELS: u32 = 1_600;
/// The quality of a photo as it is kept, of 100.
const KEPT_QUALITY: u8 = 80;

/// A photo of a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PhotoView {
    /// Its file in the garage's folder of photos.
    pub file: String,
    /// When it was taken.
    pub at: String,
    /// The step that it shows.
    pub action: Option<String>,
    /// A remark.
    pub note: Option<String>,
}

impl Garage {
    /// The folder of photos.
    fn photo_folder(&self) -> PathBuf {
        self.folder().join("photos")
    }

    /// Keeps a photo under an id (32 hexadecimal digits, made where the photo was taken), as a JPEG
    /// without anything but the picture; the name of its file. Kept again under the same id it stays
    /// as it is.
    ///
    /// # Errors
    /// [`GarageError::Input`] for an id that is none or that came with another picture,
    /// [`GarageError::Photo`] for what is no picture or too large, [`GarageError::CannotWrite`] where
    /// it cannot be stored.
    pub fn keep_photo(&self, id: &str, bytes: &[u8]) -> Result<String, GarageError> {
        if id.len() != 32 || !id.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(GarageError::Input("the id of a photo has 32 hexadecimal digits".to_owned()));
        }
        let file = format!("{}.jpg", id.to_lowercase());
        let folder = self.photo_folder();
        let path = folder.join(&file);
        let kept = as_kept(bytes)?;
        if !path.exists() && self.is_put_there(&path, &kept)? {
            return Ok(file);
        }
        let before = std::fs::read(&path).map_err(|why| GarageError::CannotRead { path, why })?;
        if before == kept {
            return Ok(file);
        }
        Err(GarageError::Input(format!(
            "the id {id} was used for another picture before, and this one was not kept: add it as a photo of its own"
        )))
    }

    /// Puts the bytes into a new file; `false` where another one of that name was quicker.
    fn is_put_there(&self, path: &Path, bytes: &[u8]) -> Result<bool, GarageError> {
        let folder = self.photo_folder();
        // A name of its own: the same photo may be sent twice at once.
        let beside = path.with_extension(format!("{}.new", new_id()?));
        let write = || -> std::io::Result<bool> {
            std::fs::create_dir_all(&folder)?;
            let mut to = File::create(&beside)?;
            to.write_all(bytes)?;
            to.sync_all()?;
            let is_first = match std::fs::hard_link(&beside, path) {
                Ok(()) => true,
                Err(why) if why.kind() == ErrorKind::AlreadyExists => false,
                // A disk without hard links: whoever comes last wins there.
                Err(_) => std::fs::rename(&beside, path).map(|()| true)?,
            };
            // The name in the folder is durable only when the folder is.
            File::open(&folder)?.sync_all()?;
            Ok(is_first)
        };
        let written = write();
        // What was written beside is of no use any more; that it cannot be removed changes nothing.
        let _ = std::fs::remove_file(&beside);
        written.map_err(|why| GarageError::CannotWrite { path: path.to_owned(), why })
    }

    /// Records that a photo was taken, of a step or of the job.
    ///
    /// # Errors
    /// [`GarageError`] where the step is not known or no such photo was kept.
    pub fn pictured(
        &mut self,
        step: Option<&str>,
        file: &str,
        note: Option<String>,
    ) -> Result<Recorded<()>, GarageError> {
        let note = typed::optional("the note", note)?;
        if !is_name(file) || !self.photo_folder().join(file).is_file() {
            return Err(GarageError::Photo(format!("'{file}' did not arrive")));
        }
        self.record(|job| {
            let action = step.map(|typed| select::actions(job, typed)).transpose()?;
            let action = action.and_then(|actions| actions.into_iter().next());
            Ok((vec![Event::Pictured { action, file: file.to_owned(), note }], ()))
        })
    }

    /// The bytes of a photo of this garage, a JPEG.
    ///
    /// # Errors
    /// [`GarageError::Selection`] where there is none of that name.
    pub fn photo(&self, file: &str) -> Result<Vec<u8>, GarageError> {
        let none = || GarageError::Selection(format!("there is no photo '{file}' in this garage"));
        if !is_name(file) {
            return Err(none());
        }
        std::fs::read(self.photo_folder().join(file)).map_err(|_| none())
    }
}

/// Whether a text is the name of a photo: nothing that leads out of the folder.
pub(crate) fn is_name(file: &str) -> bool {
    file.strip_suffix(".jpg").is_some_and(|id| {
        id.len() == 32 && id.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
    })
}

/// All photos of a job, the oldest first.
#[must_use]
pub fn photos(job: &Job) -> Vec<PhotoView> {
    let pictured = job.state.counting_entries().filter_map(|entry| match &entry.event {
        Event::Pictured { action, file, note } => Some(PhotoView {
            file: file.clone(),
            at: entry.at.clone(),
            action: action.as_ref().map(ToString::to_string),
            note: note.clone(),
        }),
        _ => None,
    });
    pictured.collect()
}

/// The photos of an item: those taken while it came apart are seen where it goes back.
#[must_use]
pub fn photos_of(job: &Job, item: &str) -> Vec<PhotoView> {
    let of_item = |photo: &PhotoView| {
        let of = photo.action.as_deref().and_then(|text| text.split_once(':')).map(|(_, item)| item);
        of == Some(item)
    };
    photos(job).into_iter().filter(of_item).collect()
}

/// A photo as it is kept.
fn as_kept(bytes: &[u8]) -> Result<Vec<u8>, GarageError> {
    if bytes.len() > MOST_BYTES {
        let most = MOST_BYTES / 1024 / 1024;
        return Err(GarageError::Photo(format!("it has more than {most} MB")));
    }
    let not_read = |why: image::ImageError| GarageError::Photo(format!("it is not understood ({why})"));
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|why| GarageError::Photo(why.to_string()))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_PIXELS);
    limits.max_image_height = Some(MOST_PIXELS);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(not_read)?;
    // A camera that writes no orientation holds upright.
    let orientation = decoder.orientation().unwrap_or(image::metadata::Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(not_read)?;
    if picture.width().max(picture.height()) > KEPT_PIXELS {
        picture = picture.thumbnail(KEPT_PIXELS, KEPT_PIXELS);
    }
    picture.apply_orientation(orientation);
    let mut kept = Vec::new();
    JpegEncoder::new_with_quality(&mut kept, KEPT_QUALITY)
        .encode_image(&picture.to_rgb8())
        .map_err(not_read)?;
    Ok(kept)
}

#[cfg(test)]
mod kept_photos {
    //! What a camera writes beside the picture is gone, and the picture stands upright.

    use super::{KEPT_PIXELS, as_kept};
    use image::codecs::jpeg::JpegEncoder;
    use image::{ImageEncoder as _, Rgb, RgbImage};

    /// A TIFF header with one entry: orientation 6 (turned right to be upright), then text that stands
    /// for a place. Source: CIPA DC-008 (Exif 2.32), tag 0x0112; from memory.
    fn exif() -> Vec<u8> {
        let mut exif = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0".to_vec();
        exif.extend(b"GPS 47.0 N 8.0 E");
        exif
    }

    /// 400 × 200, red on its left, blue on its right.
    fn jpeg() -> Vec<u8> {
        let red = |x: u32, _| if x < 200 { Rgb([200, 20, 20]) } else { Rgb([20, 20, 200]) };
        let picture = RgbImage::from_fn(400, 200, red);
        let mut bytes = Vec::new();
        let mut encoder = JpegEncoder::new(&mut bytes);
        encoder.set_exif_metadata(exif()).unwrap();
        encoder.encode_image(&picture).unwrap();
        bytes
    }

    fn holds(bytes: &[u8], piece: &[u8]) -> bool {
        bytes.windows(piece.len()).any(|window| window == piece)
    }

    #[test]
    fn nothing_but_the_picture_is_kept_and_it_stands_upright() {
        let taken = jpeg();
        assert!(holds(&taken, b"GPS 47.0 N"), "the sample carries a place");
        let kept = as_kept(&taken).unwrap();
        assert!(!holds(&kept, b"GPS") && !holds(&kept, b"Exif"));
        let picture = image::load_from_memory(&kept).unwrap().to_rgb8();
        assert_eq!((picture.width(), picture.height()), (200, 400));
        // Turned right, its left side is up.
        let (up, down) = (picture.get_pixel(100, 50), picture.get_pixel(100, 350));
        assert!(up[0] > 150 && up[2] < 80 && down[2] > 150 && down[0] < 80, "{up:?} {down:?}");
    }

    #[test]
    fn large_pictures_become_smaller_and_what_is_none_is_refused() {
        let mut bytes = Vec::new();
        JpegEncoder::new(&mut bytes).encode_image(&RgbImage::new(3200, 900)).unwrap();
        let kept = image::load_from_memory(&as_kept(&bytes).unwrap()).unwrap();
        assert_eq!((kept.width(), kept.height()), (KEPT_PIXELS, 450));
        for nonsense in [&b""[..], b"<svg onload='x'/>", &bytes[..200], b"\x89PNG\r\n\x1a\n"] {
            let why = as_kept(nonsense).unwrap_err().to_string();
            assert!(why.starts_with("the photo cannot be kept: "), "{why}");
        }
    }
}

//! Where a text leads on, as a command or an option.

use axlestand_garage::Lead;

/// A text with the command that it leads to.
pub(crate) fn led(text: &str, lead: Option<&Lead>) -> String {
    match lead {
        None => text.to_owned(),
        Some(lead) => format!("{text} ({})", means(lead)),
    }
}

fn means(lead: &Lead) -> String {
    match lead {
        Lead::Guide { method } => format!("'axlestand read --guide {method}' leads through it"),
        Lead::Guides => "'axlestand read --guide' shows the ways".to_owned(),
        Lead::Alignment => "'axlestand set alignment'".to_owned(),
        Lead::Keep => "'axlestand set alignment --keep'".to_owned(),
        Lead::Height => "'axlestand set height' says how".to_owned(),
        Lead::Look => "'axlestand serve', page 'Needs a look'".to_owned(),
        Lead::Turned => "'axlestand turned ADJUSTER \"BY HOW MUCH\"'".to_owned(),
        Lead::Ledger => "'axlestand log' shows them, 'axlestand undo-entry ID' takes one back".to_owned(),
        Lead::Axle { axle } => format!("--axle {axle}"),
        Lead::Correct { reading } => format!("'axlestand read {reading} \"VALUE\" --correct'"),
        Lead::Place { place, .. } => format!("'axlestand read {place} \"NUMBER\"'"),
        Lead::Value { item, field } => {
            let field = field.as_deref().unwrap_or("FIELD");
            format!("'axlestand car set {item} {field} \"VALUE\" --source \"MANUAL, PAGE\"'")
        }
        Lead::Row { action } => format!("'axlestand done {action}'"),
        Lead::Check { job, gate } => format!("'axlestand --job {job} check {gate}'"),
        Lead::Jobs => "'axlestand job list' shows them, 'axlestand job start' begins one".to_owned(),
        Lead::Sessions => "--session \"Sat 9-18\"".to_owned(),
        Lead::StartJob => {
            "'axlestand job start CAR --replace PART', or --garage for a garage elsewhere".to_owned()
        }
        Lead::JobName => "--name".to_owned(),
        Lead::Parts => "'axlestand car show FILE' lists them".to_owned(),
        Lead::CarCheck => "'axlestand car check FILE' shows them again".to_owned(),
        Lead::FileName => "--out".to_owned(),
        Lead::FileNameOrOver => "--out, or --replace".to_owned(),
        Lead::Over => "--replace".to_owned(),
        Lead::Folder => "--garage".to_owned(),
        Lead::GarageCheck => "'axlestand garage check'".to_owned(),
        Lead::Backup => "'axlestand garage backup FILE' writes one".to_owned(),
        Lead::Restore => "'axlestand --garage NEW-FOLDER garage restore FILE'".to_owned(),
        Lead::AlthoughChanged => "--although-changed".to_owned(),
    }
}

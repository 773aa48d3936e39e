//! Plain views: what commands and pages show, with no rule left to apply.

mod amounts;
mod car;
mod head;
mod log;
mod marks;
pub(crate) mod minutes;
mod next;
mod open;
mod prepare;
mod replan;
mod report;
pub(crate) mod row;
mod specifications;
mod stands;
mod work;

pub use amounts::{amount, percent};
pub use car::{CarView, FindingView, ItemView, car_view, finding_views, item_view};
pub use head::HeadView;
pub(crate) use log::in_words;
pub use log::{LogLine, event_text, log};
pub use marks::{MarkView, MarksView};
pub use minutes::{about, hours};
pub use next::{NextView, comes_out_again, has_to_come_down, next, next_with, rows_to_do};
pub use open::{CheckView, OpenView, ReasonView, check_lowering, check_road, open_to_work_from, open_view};
pub use prepare::{
    AheadView, BlockView, LookUpView, NeedView, PrepareView, RiskView, ToolView, UndoneView, blocks, prepare,
};
pub use replan::{ChangedRow, MovedRow, ReasonedRows, ReplanView, replan, replans};
pub use report::{LeftOut, ReadingView, RecheckView, ReportView, StateLine, report};
pub use row::{Remark, RowView, Tells, row_view};
pub(crate) use row::{row_place, text as row_text};
pub use specifications::{SpecField, SpecView, specifications};
pub use stands::{ItemStandsView, item_stands, part_names};
pub use work::{FigureView, StepView, WorkView, one_step, work};

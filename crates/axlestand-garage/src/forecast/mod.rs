//! When the job will be done, what would bring the end nearer, what to buy ahead, and which route to take.
//!
//! The numbers are the plan's ([`axlestand_plan::risk`]); here they meet the owner's forecast file, the
//! calendar and the times of the ledger. Every number rests on typical assumptions until this car and its
//! owner have taught better, and the views say so.

mod ask;
mod buying;
mod file;
mod finish;
mod form;
mod outlook;
mod own_text;
mod pace;
mod route_view;
mod view;
pub(crate) mod week;

pub use ask::Ask;
pub use buying::{BuyView, FigureLine};
pub use file::{FORECAST_FILE, new_forecast_file};
pub use form::{FieldFault, StatedField, TypedField, stated_fields};
pub use outlook::{OutlookView, detours, outlook, retold};
pub use own_text::ForecastText;
pub use route_view::{RouteView, RoutesView};
pub use view::{AssumedView, EndView, ForecastView, LearntView, LeverView, QuantileView, SideView};

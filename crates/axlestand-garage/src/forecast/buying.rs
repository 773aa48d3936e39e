//! What to buy ahead, with the arithmetic, as it is shown.

use super::ask::Basis;
use axlestand_plan::risk::{Buy, Choice};
use serde::Serialize;

/// A line of arithmetic.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct FigureLine {
    /// What is computed.
    pub what: String,
    /// How, with the numbers.
    pub how: String,
}

/// A kind of thing that may be needed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BuyView {
    /// Base name of the item.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// The chance that at least one is needed, 0 to 1.
    pub chance: f64,
    /// The chances that 0, 1, … are needed.
    pub counts: Vec<f64>,
    /// `buy`, `order-returnable`, `leave`, `no-price` or `no-day`.
    pub choice: &'static str,
    /// How many.
    pub quantity: usize,
    /// Price of a piece, as stated.
    pub price: Option<f64>,
    /// Days that the end moves when one is needed and none is there.
    pub days: f64,
    /// What to do, in words.
    pub say: String,
    /// The arithmetic.
    pub arithmetic: Vec<FigureLine>,
}

pub(super) fn buy_views(buys: Vec<Buy>, basis: &Basis) -> Vec<BuyView> {
    let currency = &basis.stated.currency;
    let money = |amount: f64| {
        let text = format!("{amount:.2}");
        if currency.is_empty() { text } else { format!("{text} {currency}") }
    };
    buys.into_iter().map(|buy| buy_view(buy, basis, &money)).collect()
}

fn buy_view(buy: Buy, basis: &Basis, money: &dyn Fn(f64) -> String) -> BuyView {
    let choice = match buy.choice {
        Choice::Buy => "buy",
        Choice::OrderReturnable => "order-returnable",
        Choice::Leave => "leave",
        Choice::NoPrice => "no-price",
        Choice::NoDay => "no-day",
    };
    let pieces = if buy.quantity == 1 { "one".to_owned() } else { buy.quantity.to_string() };
    let say = match buy.choice {
        Choice::Buy => format!("buy {pieces}"),
        Choice::OrderReturnable => format!("order {pieces}, return what is left over"),
        Choice::Leave => "leave it: buy one if it breaks".to_owned(),
        Choice::NoPrice => match buy.worth_up_to {
            Some(worth) => {
                format!(
                    "price not given; buying one ahead pays if a piece left over loses less than {}",
                    money(worth)
                )
            }
            None => no_money(buy.chance()),
        },
        Choice::NoDay => match buy.pays_from {
            Some(stop) => format!(
                "what a stranded day or a trip costs is not given; buying one ahead pays if a stop costs more than {}",
                money(stop)
            ),
            None => "what a stranded day or a trip costs is not given".to_owned(),
        },
    };
    BuyView {
        item: buy.kind.clone(),
        name: buy.name.clone(),
        chance: buy.chance(),
        choice,
        quantity: buy.quantity,
        price: buy.terms.price,
        days: buy.days,
        say,
        arithmetic: arithmetic(&buy, basis, money),
        counts: buy.counts,
    }
}

/// With neither price nor cost of a stop, what the odds alone say: one pays from (1 − chance)/chance times
/// its loss on.
fn no_money(chance: f64) -> String {
    let times = (1.0 - chance) / chance.max(1e-6);
    let times = if times >= 10.0 { format!("{times:.0}") } else { format!("{times:.1}") };
    format!(
        "no prices given; buying one ahead pays if a stop costs over {times} times what a piece left over loses"
    )
}

fn arithmetic(buy: &Buy, basis: &Basis, money: &dyn Fn(f64) -> String) -> Vec<FigureLine> {
    let mut lines = Vec::new();
    let mut line = |what: &str, how: String| lines.push(FigureLine { what: what.to_owned(), how });
    let counts: Vec<String> =
        buy.counts.iter().enumerate().map(|(k, chance)| format!("{k}: {:.1} %", chance * 100.0)).collect();
    line("chance of needing so many", counts.join(", "));
    let market = &basis.stated.market;
    if let Some(stop) = buy.stop {
        let (day, trip) = (market.stranded_day.unwrap_or(0.0), market.trip.unwrap_or(0.0));
        let how = format!("{} + {:.1} days × {} = {}", money(trip), buy.days, money(day), money(stop));
        line("a stop (trip + days the end moves × stranded day)", how);
    }
    if let (Some(price), Some(loss)) = (buy.terms.price, buy.terms.loss()) {
        let how = match buy.terms.restocking {
            Some(part) => format!("{} × {part} = {}", money(price), money(loss)),
            None => format!("{}, no return stated", money(loss)),
        };
        line("a piece left over", how);
    }
    if let (Some(stop), Some(loss), Some(critical)) = (buy.stop, buy.terms.loss(), buy.critical) {
        let how = format!(
            "{} / ({} + {}) = {critical:.2}: have as many as are enough with this chance",
            money(stop),
            money(stop),
            money(loss)
        );
        line("critical ratio of one kind by itself", how);
    }
    if let Some((none, some)) = buy.costs {
        let how = format!("none {}, {} {}", money(none), buy.quantity.max(1), money(some));
        line("cost on average, a stop counted for it alone", how);
    }
    lines
}

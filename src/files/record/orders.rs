//! Reads a surgeon's orders and the red flags somebody has assessed.

use chrono::{Days, NaiveDate};

use crate::domain::ids::{FlagId, Id, OrderKind};
use crate::domain::order_kind::{OrderSays, WEIGHT_BEARING};
use crate::domain::quantity::Quantity;
use crate::domain::record::{Clearance, Order, OrderValue, Until};
use crate::domain::word::{WeightBearing, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, Kinded, may, need};
use super::super::nearest;
use super::super::node::{Node, Value};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::reading::Reading;
use super::super::source::Span;
use super::super::values::{AnyOrder, At, Readable};
use super::super::wrong::wrong_kind;
use super::episode::token;
use super::known::Known;
use super::measured::Angle;
use super::visit::ReadVisit;

/// The angle of an order.
pub type Cap = Angle<0, 180>;

/// A cap as it is given today: a leg kept straighter is in a brace, and no knee bends further.
pub type NewCap = Angle<30, 160>;

/// Keys of an order.
pub static ORDER: Keys = Keys {
    what: "an order",
    keys: &[
        need::<String>("id", "Its name in this record, such as \"O1\"."),
        need::<AnyOrder>("what", "The kind of order."),
        may::<WeightBearing>("weight_bearing", "How much the leg may bear."),
        may::<Cap>("degrees", "The angle ordered."),
        may::<YesNo>(
            "ordered",
            "\"no\" when the answer is that nothing of this kind is ordered.",
        ),
        need::<String>("by", "Who ordered it."),
        need::<NaiveDate>("on", "When."),
        may::<NaiveDate>(
            "from",
            "Its first day; left out, the day it was given. It never begins before that.",
        ),
        need::<String>("document", "In which document."),
        may::<Until>(
            "until",
            "The last day it holds, or \"asked\"; left out, no end is set.",
        ),
        may::<String>(
            "replaces",
            "The `id` of the order above, of the same kind, whose place it takes; left out, it \
             stands beside the others and the strictest holds.",
        ),
    ],
};

/// Keys of a clearance.
pub static CLEAR: Keys = Keys {
    what: "a clearance",
    keys: &[
        need::<FlagId>("flag", "The red flag that was assessed."),
        need::<String>("by", "By whom or what."),
        need::<NaiveDate>("on", "When."),
        may::<NaiveDate>(
            "until",
            "The last day it counts: as many days after `on` as the procedure says when left out, and \
             never more than the procedure lets it.",
        ),
    ],
};

/// An order, and its name and kind wherever the rest could not be read.
pub struct ReadOrder {
    /// Its name and place.
    id: Option<At<String>>,
    /// When it was given.
    on: Option<NaiveDate>,
    /// The order whose place it takes, and where it says so.
    replaces: Option<At<String>>,
    /// Its kind.
    pub what: Option<OrderKind>,
    /// The order.
    pub order: Option<Order>,
}

impl Kinded for Until {
    const KIND: Kind = Kind::Either("a date such as 2026-03-05, or \"asked\"");
}

impl Readable for Until {
    fn read(node: &Node, reading: &mut Reading) -> Option<Self> {
        if node.is_word("asked") {
            return Some(Self::Asked);
        }
        if matches!(node.value, Value::Date(_)) {
            return NaiveDate::read(node, reading).map(Self::Date);
        }
        wrong_kind(node, reading, Self::KIND);
        None
    }
}

/// Reads every order of a record.
pub fn all(table: &mut TableReader<'_>, known: Known<'_>) -> Vec<ReadOrder> {
    let orders = table.tables("order", &ORDER, |table| Some(order(table, known)));
    let ids = orders.iter().filter_map(|order| order.id.clone()).collect();
    each_once(ids, "order", table.reading());
    replaced(table.reading(), &orders);
    orders
}

/// Checks that each order named as replaced stands above, is of the same kind, was not given
/// later and has not been replaced before.
fn replaced(reading: &mut Reading, orders: &[ReadOrder]) {
    let named =
        |order: &ReadOrder, name: &str| order.id.as_ref().is_some_and(|id| id.value == name);
    for (at, order) in orders.iter().enumerate() {
        let Some(name) = &order.replaces else {
            continue;
        };
        let (above, _) = orders.split_at(at);
        let Some(old) = above.iter().find(|old| named(old, &name.value)) else {
            reading.tell(not_above(name, above));
            continue;
        };
        let tell = |message: String, label: &str| {
            Problem::new(Code::Replaces, name.at.clone(), message, label)
        };
        let twice = above.iter().filter_map(|other| other.replaces.as_ref());
        let twice = twice.into_iter().find(|other| other.value == name.value);
        if let (Some(new), Some(of)) = (&order.what, &old.what)
            && new != of
        {
            let message = format!(
                "`{}` is an order of `{of}`, and this one of `{new}`",
                name.value
            );
            reading.tell(tell(message, "of another kind"));
        } else if let Some(first) = twice {
            let message = format!("order `{}` is replaced twice", name.value);
            reading.tell(tell(message, "a second time").also(first.at.clone(), "replaced here"));
        } else if let (Some(new), Some(of)) = (order.on, old.on)
            && new < of
        {
            let message = format!("order `{}` was given later, on {of}", name.value);
            reading.tell(tell(message, "replaces a newer order"));
        }
    }
}

fn not_above(name: &At<String>, above: &[ReadOrder]) -> Problem {
    let message = format!("no order `{}` stands above this one", name.value);
    let problem = Problem::new(Code::Replaces, name.at.clone(), message, "not there");
    let ids = above.iter().filter_map(|order| order.id.as_ref());
    let ids: Vec<&str> = ids.map(|id| id.value.as_str()).collect();
    problem.help(nearest::help(&name.value, &ids))
}

fn order(table: &mut TableReader<'_>, known: Known<'_>) -> ReadOrder {
    let id = token(table, "id");
    let what = table.need::<At<AnyOrder>>("what").map(At::kind);
    if let Some(what) = &what {
        known.order(table, what);
    }
    let what = what.map(|what| what.value);
    let replaces = table.may::<At<String>>("replaces");
    let order = rest(table, known, what.clone());
    ReadOrder {
        on: order.as_ref().map(|order| order.on),
        order: order.map(|order| Order {
            id: id.as_ref().map(|id| id.value.clone()),
            replaces: replaces.as_ref().map(|named| named.value.clone()),
            ..order
        }),
        id,
        replaces,
        what,
    }
}

fn rest(table: &mut TableReader<'_>, known: Known<'_>, what: Option<OrderKind>) -> Option<Order> {
    let value = value(table, known, what.as_ref());
    let by = table.need("by");
    let on = table.need::<At<NaiveDate>>("on");
    let from = table.may::<At<NaiveDate>>("from");
    let document = table.need("document");
    let until = table.may::<At<Until>>("until");
    if let Some(until) = &until
        && let Until::Date(last) = until.value
    {
        if let Some(from) = from.as_ref().filter(|from| last < from.value) {
            ends_first(table, "from", from);
        } else if let Some(on) = &on {
            not_before(table, on, last);
        }
    }
    Some(Order {
        id: None,
        what: what?,
        value: value?,
        by: by?,
        on: on?.value,
        from: from.map(|from| from.value),
        document: document?,
        until: until.map_or(Until::Open, |until| until.value),
        replaces: None,
        origin: table.at().origin(),
    })
}

/// Reads what the order says: just the one value its kind takes.
fn value(
    table: &mut TableReader<'_>,
    known: Known<'_>,
    what: Option<&OrderKind>,
) -> Option<OrderValue> {
    let bearing = table.may::<WeightBearing>("weight_bearing");
    let degrees = table.may::<Cap>("degrees");
    let ordered = table.may::<YesNo>("ordered");
    let what = what?;
    if ordered == Some(YesNo::No) {
        return not_ordered(table, what);
    }
    let (takes, value) = match known.library().procedure.order_says(what.as_str()) {
        OrderSays::Bearing => (
            Some("weight_bearing"),
            bearing.map(OrderValue::WeightBearing),
        ),
        OrderSays::Degrees => (
            Some("degrees"),
            degrees.map(|cap| OrderValue::Degrees(cap.0)),
        ),
        OrderSays::Stands => (None, Some(OrderValue::Stands)),
    };
    for name in ["weight_bearing", "degrees"] {
        if table.has(name) && takes != Some(name) {
            let message = format!("an order of `{what}` takes no `{name}`");
            let help = takes.map_or_else(
                || "the kind says it all; leave the key out".to_owned(),
                |takes| format!("this kind takes `{takes}`"),
            );
            let problem = Problem::new(Code::OrderValue, table.at_key(name), message, "not here");
            table.tell(problem.help(help));
        }
    }
    if let Some(takes) = takes.filter(|takes| !table.has(takes)) {
        let message = format!("an order of `{what}` needs `{takes}`");
        let label = format!("`{takes}` is missing");
        table.tell(Problem::new(Code::OrderValue, table.at(), message, label));
    }
    value
}

/// An answer that nothing is ordered has no value beside it; what the leg may bear has always one.
fn not_ordered(table: &mut TableReader<'_>, what: &OrderKind) -> Option<OrderValue> {
    if what.as_str() == WEIGHT_BEARING {
        let message = "what the leg may bear is always said";
        let at = table.at_key("ordered");
        table.tell(Problem::new(Code::OrderValue, at, message, "").help("give `weight_bearing`"));
        return None;
    }
    for name in ["weight_bearing", "degrees"] {
        if table.has(name) {
            let message = format!("`{what}` is not ordered, and yet has `{name}`");
            let at = table.at_key(name);
            table.tell(Problem::new(Code::OrderValue, at, message, "which is it?"));
        }
    }
    Some(OrderValue::NotOrdered)
}

/// Reads one clearance.
pub fn clearance(table: &mut TableReader<'_>, known: Known<'_>) -> Option<(Span, Clearance)> {
    let flag = table.need::<At<FlagId>>("flag");
    if let Some(flag) = &flag {
        known.flag(table, &flag.value, &flag.at);
    }
    let by = table.need("by");
    let on = table.need::<At<NaiveDate>>("on");
    let until = table.may::<NaiveDate>("until");
    if let (Some(on), Some(until)) = (&on, until) {
        not_before(table, on, until);
    }
    let on = on?.value;
    let days = known.library().procedure.settings.bounds.clearance_days;
    let counts = Days::new(u64::try_from(days.get()).unwrap_or_default());
    let clearance = Clearance {
        flag: flag?.value,
        by: by?,
        on,
        until: until.or_else(|| on.checked_add_days(counts))?,
        visits: 0,
    };
    Some((table.at(), clearance))
}

/// Counts the visits that stand above each clearance.
pub fn after_visits(found: Vec<(Span, Clearance)>, visits: &[ReadVisit]) -> Vec<Clearance> {
    let above = |at: &Span| {
        let stood = visits.iter().filter(|visit| visit.at.start < at.start);
        stood
            .filter_map(|visit| visit.n.as_ref())
            .map(|n| n.value)
            .max()
    };
    let placed = found.into_iter().map(|(at, clearance)| Clearance {
        visits: above(&at).unwrap_or_default(),
        ..clearance
    });
    placed.collect()
}

pub(super) fn not_before(table: &mut TableReader<'_>, on: &At<NaiveDate>, until: NaiveDate) {
    if until < on.value {
        ends_first(table, "on", on);
    }
}

/// Tells that a last day lies before the first one.
fn ends_first(table: &mut TableReader<'_>, first: &str, begins: &At<NaiveDate>) {
    let at = table.at_key("until");
    let message = format!("`until` lies before `{first}`");
    let problem = Problem::new(Code::Window, at, message, "the last day");
    table.tell(problem.also(begins.at.clone(), "begins here"));
}

#[cfg(test)]
mod tests {
    use super::super::samples::only;

    #[test]
    fn an_order_takes_the_value_of_its_kind_and_no_other() {
        only("degrees = 90\n", "", "BN068", "needs `degrees`");
        only(
            "degrees = 90\n",
            "weight_bearing = \"none\"\ndegrees = 90\n",
            "BN068",
            "takes no `weight_bearing`",
        );
        only(
            "document = \"letter\"\n",
            "document = \"letter\"\ndegrees = 0\n",
            "BN068",
            "takes no `degrees`",
        );
        only(
            "degrees = 90\n",
            "degrees = 90\nordered = \"no\"\n",
            "BN068",
            "is not ordered, and yet has `degrees`",
        );
        only("degrees = 90\n", "degrees = -5\n", "BN023", "from 0 to 180");
        only("id = \"O2\"", "id = \"O1\"", "BN030", "order `O1`");
        only(
            "until = 2026-06-01",
            "until = 2026-05-03",
            "BN033",
            "`until` lies before `on`",
        );
        only("until = \"asked\"", "until = \"ask\"", "BN022", "`until`");
        only(
            "on = 2026-05-10\n\n",
            "on = 2026-05-10\nuntil = 2026-05-09\n\n",
            "BN033",
            "`until`",
        );
    }
}

//! Which spool to load for a plate: one that suffices and is dry, the emptiest that will do.

use std::collections::BTreeMap;

use partpledge_costing::spool_check;
use partpledge_stock::{Account, State};

use super::clashes::Clash;
use super::{is_damp, taken_mg, told_at};
use crate::session::Session;

/// A spool that could be loaded.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Its number.
    pub number: i64,
    /// Its colour, in words.
    pub colour: String,
    /// Where it is.
    pub state: State,
    /// What will be on it when the plate is started, g.
    pub left_g: f64,
    /// Whether that suffices.
    pub suffices: bool,
    /// Whether it should be dried first.
    pub damp: bool,
}

/// What to load for a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct SpoolAdvice {
    /// What the plate takes of a spool, purge and margin included, g.
    pub needed_g: f64,
    /// Filament in the plate, g.
    pub plate_g: f64,
    /// Spools of the material at the host, the best to load first. Empty when none is left.
    pub choices: Vec<Choice>,
    /// What is on the printer now, if somebody has told.
    pub loaded: Option<i64>,
    /// That no spool is there for it when it is to be started, where the plan says so.
    pub clash: Option<Clash>,
}

/// A plate that waits to be loaded.
#[derive(Clone, Debug)]
pub struct Wanted<'a> {
    /// Number of the plate.
    pub plate: u64,
    /// Material code.
    pub material: &'a str,
    /// Name of its printer.
    pub printer: &'a str,
    /// Filament in it, g.
    pub plate_g: f64,
}

/// What to load for each of these plates at a host, in the order in which they are started: what one
/// takes is gone for the next. Nothing for a material that nobody has told of there.
#[must_use]
pub fn advise(session: &Session, host: &str, wanted: &[Wanted<'_>]) -> BTreeMap<u64, SpoolAdvice> {
    let rates = &session.costs.rates;
    let mut accounts = session.spools.accounts(&session.terrain, rates);
    let told = told_at(&accounts, host);
    let mut out = BTreeMap::new();
    for want in wanted.iter().filter(|want| told.contains(want.material)) {
        let advice = one(session, host, &accounts, want);
        if let Some(best) = advice.choices.first()
            && let Some(account) = accounts.iter_mut().find(|a| a.spool.number == best.number)
        {
            account.left_mg -= taken_mg(want.plate_g, rates);
            account.state = State::Loaded(want.printer.to_owned());
        }
        out.insert(want.plate, advice);
    }
    out
}

/// What a plate of so many grams takes of a spool, purge and margin included, g.
#[must_use]
pub fn needed_g(session: &Session, plate_g: f64) -> f64 {
    spool_check(0.0, plate_g, &session.costs).needed_g
}

fn one(session: &Session, host: &str, accounts: &[Account], want: &Wanted<'_>) -> SpoolAdvice {
    let check = |left_g: f64| spool_check(left_g, want.plate_g, &session.costs);
    let there = |account: &&Account| {
        let elsewhere = matches!(&account.state, State::Loaded(name) if name != want.printer);
        let same = account.spool.roll.material == want.material;
        account.host == host && same && account.state.counts() && !elsewhere
    };
    let mut choices: Vec<Choice> = accounts
        .iter()
        .filter(there)
        .map(|account| Choice {
            number: account.spool.number,
            colour: account.spool.roll.colour.clone(),
            left_g: account.left_g(),
            suffices: check(account.left_g()).suffices(),
            damp: is_damp(session, account),
            state: account.state.clone(),
        })
        .collect();
    choices.sort_by(|a, b| rank(a).total_cmp(&rank(b)).then(a.number.cmp(&b.number)));
    let on_it = accounts
        .iter()
        .find(|account| matches!(&account.state, State::Loaded(name) if name == want.printer));
    SpoolAdvice {
        needed_g: needed_g(session, want.plate_g),
        plate_g: want.plate_g,
        choices,
        loaded: on_it.map(|account| account.spool.number),
        clash: None,
    }
}

/// Enough before too little, dry before damp, what is on the printer before what is open before what
/// is in its bag; the emptiest that suffices, so that ends are used up; the fullest that does not.
fn rank(choice: &Choice) -> f64 {
    let state = match choice.state {
        State::Loaded(_) => 0.0,
        State::Open => 1.0,
        _ => 2.0,
    };
    let (short, damp) = (
        f64::from(u8::from(!choice.suffices)),
        f64::from(u8::from(choice.damp)),
    );
    let left = choice.left_g.min(9e5) / 1e6;
    let last = if choice.suffices { state + left } else { -left };
    short * 100.0 + damp * 10.0 + last
}

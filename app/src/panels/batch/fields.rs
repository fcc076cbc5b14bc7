//! The fields of a batch: kits, spares, parts of a kit, and the times of a pull.

use engine::defaults::Given;
use engine::edit::Edit;
use engine::plan::{Batch, MoldId, PartWanted, PullTimes};
use engine::units::{Price, Seconds, read_decimal};

use super::sheets::{chosen_sheet, sheet_at, sheet_options};
use crate::panels::change::change;
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Choice, Committed, CountField, TextField, quoted};

/// Changes something of the batch.
pub(super) fn change_batch(store: Store, with: impl FnOnce(&mut Batch)) -> Committed {
    let mut batch = store.peek(|session| (*session.plan().batch).clone());
    with(&mut batch);
    change(store, Edit::SetBatch(Box::new(batch)))
}

/// Something of the batch as it is now.
pub(super) fn of_batch<T: PartialEq + Send + Sync + 'static>(
    store: Store,
    read: impl Fn(&Batch) -> T + Send + Sync + 'static,
) -> Signal<T> {
    Signal::derive(move || store.with(|session| read(&session.plan().batch)))
}

/// Kits, spares, and how many of each part.
pub(super) fn kit_fields(store: Store) -> AnyView {
    let molds = memo(move |_| {
        store.with(|session| session.plan().molds.keys().copied().collect::<Vec<_>>())
    });
    let rows =
        live(move || molds.get().into_iter().map(|id| part_field(store, id)).collect::<Vec<_>>());
    view! {
        <div class="fields">
            <CountField
                label="Kits"
                value=of_batch(store, |batch| batch.kits)
                commit=move |n| change_batch(store, |batch| batch.kits = n)
                given=Given::Kits
            />
            <CountField
                label="Spares, percent"
                value=of_batch(store, |batch| batch.spares_percent)
                commit=move |n| change_batch(store, |batch| batch.spares_percent = n)
                given=Given::Spares
            />
        </div>
        <fieldset class="set">
            <legend>"How many of each part in a kit"</legend>
            <div class="fields">{rows}</div>
        </fieldset>
    }
    .into_any()
}

fn part_field(store: Store, id: MoldId) -> AnyView {
    let name = move || {
        store.with(|s| s.plan().molds.get(&id).map(|mold| mold.name.clone())).unwrap_or_default()
    };
    let set = move |with: &dyn Fn(&mut PartWanted)| {
        change_batch(store, |batch| {
            let part = batch.wanted.entry(id).or_insert(PartWanted { per_kit: 0, stock: None });
            with(part);
            if *part == (PartWanted { per_kit: 0, stock: None }) {
                batch.wanted.remove(&id);
            }
        })
    };
    let has_sheets = memo(move |_| store.with(|s| !s.plan().batch.stocks.is_empty()));
    let choose = Callback::new(move |at: Option<usize>| {
        let stock = store.peek(|s| sheet_at(&s.plan().batch, at));
        set(&|part| part.stock = stock)
    });
    let sheet = live(move || {
        has_sheets.get().then(|| {
            view! {
                <Choice
                    label=Signal::derive(move || format!("Sheet of {}", name()))
                    options=sheet_options(store)
                    value=of_batch(store, move |batch| chosen_sheet(batch, id))
                    commit=choose
                />
            }
            .into_any()
        })
    });
    view! {
        <CountField
            label=Signal::derive(name)
            value=of_batch(store, move |batch| batch.wanted.get(&id).map_or(0, |part| part.per_kit))
            commit=move |n| set(&|part| part.per_kit = n)
        />
        {sheet}
    }
    .into_any()
}

/// The times of a pull, and what an hour costs.
pub(super) fn time_fields(store: Store) -> AnyView {
    type Read = fn(&PullTimes) -> Option<Seconds>;
    type Write = fn(&mut PullTimes, Option<Seconds>);
    let fields: [(&str, Given, Read, Write); 6] = [
        ("Load", Given::Load, |t| Some(t.load), |t, s| t.load = s.unwrap_or_default()),
        ("Heat", Given::HeatTime, |t| t.heat, |t, s| t.heat = s),
        ("Draw", Given::DrawTime, |t| Some(t.draw), |t, s| t.draw = s.unwrap_or_default()),
        ("Cool", Given::CoolTime, |t| t.cool, |t, s| t.cool = s),
        ("Unload", Given::Unload, |t| Some(t.unload), |t, s| t.unload = s.unwrap_or_default()),
        (
            "Change of layout",
            Given::ChangeOver,
            |t| Some(t.change_over),
            |t, s| t.change_over = s.unwrap_or_default(),
        ),
    ];
    let field = |(label, given, read, write): (&'static str, Given, Read, Write)| {
        let is_needed = !matches!(given, Given::HeatTime | Given::CoolTime);
        let commit = move |text: String| {
            let time = read_time(&text)?;
            if is_needed && time.is_none() {
                return Err("It needs a time; type seconds such as 90, or 1:30.".to_owned());
            }
            change_batch(store, |batch| write(&mut batch.times, time))
        };
        let hint = if is_needed { "" } else { "Empty: the usual time of the plastic and gauge" };
        let value = of_batch(store, move |batch| show_time(read(&batch.times)));
        view! { <TextField label=format!("{label}, seconds") value commit hint given/> }.into_any()
    };
    let fields = fields.map(field).into_iter().collect::<Vec<_>>();
    view! {
        <details class="sub">
            <summary>"Time of a pull, and what an hour costs"</summary>
            <div class="fields">
                {fields}
                <TextField
                    label="An hour at the bench"
                    value=of_batch(store, |batch| batch.labour.map_or_else(String::new, |p| p.to_string()))
                    commit=move |text: String| {
                        let price = read_money(&text)?;
                        change_batch(store, |batch| batch.labour = price)
                    }
                    hint="In your own money; empty when it does not count"
                    given=Given::Labour
                />
            </div>
        </details>
    }
    .into_any()
}

/// An amount of money, or none.
pub(super) fn read_money(text: &str) -> Result<Option<Price>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let wrong = || format!("{} is not an amount; type for example 18.50.", quoted(text));
    Price::parse(text).map(Some).ok_or_else(wrong)
}

/// Seconds as `90`, or minutes and seconds as `1:30`; none when nothing is typed.
fn read_time(text: &str) -> Result<Option<Seconds>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let wrong = || format!("{} is not a time; type seconds such as 90, or 1:30.", quoted(text));
    let number = |part: &str| read_decimal(part.trim()).filter(|n| n.is_finite() && *n >= 0.0);
    let seconds = match text.split_once(':') {
        Some((minutes, seconds)) => number(minutes).zip(number(seconds)).map(|(m, s)| m * 60.0 + s),
        None => number(text),
    };
    seconds.map(|s| Some(Seconds::new(s))).ok_or_else(wrong)
}

fn show_time(time: Option<Seconds>) -> String {
    time.map_or_else(String::new, |time| time.get().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_seconds_or_minutes_and_seconds() {
        let read = |text| read_time(text).map(|time| time.map(Seconds::get));
        assert_eq!(read("90"), Ok(Some(90.0)));
        assert_eq!(read(" 1:30 "), Ok(Some(90.0)));
        assert_eq!(read(""), Ok(None));
        for wrong in ["soon", "-3", "1:x", "inf"] {
            assert!(read(wrong).expect_err(wrong).contains("is not a time"), "{wrong}");
        }
        assert_eq!(show_time(Some(Seconds::new(45.5))), "45.5");
    }

    #[test]
    fn money_may_be_left_empty() {
        assert_eq!(read_money(""), Ok(None));
        assert_eq!(read_money("18,5"), Ok(Some(Price::hundredths(1850))));
        assert!(read_money("much").is_err());
    }
}

//! The sheets besides the plan's own: another plastic, gauge or colour.

use engine::plan::{Batch, ExtraStock, MoldId, Plastic, StockId};

use super::fields::{change_batch, of_batch, read_money};
use crate::panels::change::say_refused;
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Button, Choice, LengthField, TextField};

/// The plan's own sheet, then the others by their place among them.
pub(in crate::panels) fn sheet_options(store: Store) -> Signal<Vec<(Option<usize>, String)>> {
    of_batch(store, |batch| {
        let others = batch.stocks.values().enumerate();
        let named = others.map(|(at, extra)| (Some(at), name(extra)));
        std::iter::once((None, "The stock sheet".to_owned())).chain(named).collect()
    })
}

fn name(extra: &ExtraStock) -> String {
    let plastic = extra.stock.plastic.name();
    if extra.colour.is_empty() {
        plastic.to_owned()
    } else {
        format!("{plastic}, {}", extra.colour)
    }
}

/// The place of a part's sheet among the others; none for the plan's own.
pub(super) fn chosen_sheet(batch: &Batch, mold: MoldId) -> Option<usize> {
    place_of(batch, batch.wanted.get(&mold)?.stock)
}

/// The place of a sheet among the others; none for the plan's own.
pub(in crate::panels) fn place_of(batch: &Batch, id: Option<StockId>) -> Option<usize> {
    batch.stocks.keys().position(|known| Some(*known) == id)
}

/// The sheet at a place among the others; none for the plan's own.
pub(in crate::panels) fn sheet_at(batch: &Batch, at: Option<usize>) -> Option<StockId> {
    batch.stocks.keys().nth(at?).copied()
}

/// All sheets besides the plan's own, and a button for one more.
pub(super) fn sheet_fields(store: Store) -> AnyView {
    let ids = memo(move |_| {
        store.with(|session| session.plan().batch.stocks.keys().copied().collect::<Vec<_>>())
    });
    let add = move |()| {
        let stock = store.peek(|session| session.plan().stock);
        let added = change_batch(store, |batch| {
            let id = batch.stocks.keys().next_back().map_or(1, |id| id.0.saturating_add(1));
            batch.stocks.insert(StockId(id), ExtraStock { colour: String::new(), stock });
        });
        if let Err(words) = added {
            say_refused(store, words);
        }
    };
    let rows = live(move || ids.get().into_iter().map(|id| sheet(store, id)).collect::<Vec<_>>());
    view! {
        {rows}
        <div class="row">
            <Button label="Add another sheet: plastic, gauge or colour" press=add/>
        </div>
    }
    .into_any()
}

/// What the first pull is called that is formed in a sheet.
fn formed_in(store: Store, id: StockId) -> Option<String> {
    store.peek(|session| {
        let mut pulls = session.plan().pulls.values();
        pulls.find(|pull| pull.stock == Some(id)).map(|pull| pull.name.clone())
    })
}

fn sheet(store: Store, id: StockId) -> AnyView {
    let set = move |with: &dyn Fn(&mut ExtraStock)| {
        change_batch(store, |batch| {
            if let Some(extra) = batch.stocks.get_mut(&id) {
                with(extra);
            }
        })
    };
    let extra = move |batch: &Batch| {
        let gone = || ExtraStock { colour: String::new(), stock: engine::plan::Stock::default() };
        batch.stocks.get(&id).cloned().unwrap_or_else(gone)
    };
    let remove = move |()| {
        if let Some(pull) = formed_in(store, id) {
            let words =
                "is formed in this sheet; choose another sheet for it first, or keep this one.";
            return say_refused(store, format!("Not removed: {pull} {words}"));
        }
        let removed = change_batch(store, |batch| {
            batch.stocks.remove(&id);
            for part in batch.wanted.values_mut().filter(|part| part.stock == Some(id)) {
                part.stock = None;
            }
        });
        if let Err(words) = removed {
            say_refused(store, words);
        }
    };
    let price = move |batch: &Batch| {
        extra(batch).stock.price.map_or_else(String::new, |price| price.to_string())
    };
    view! {
        <fieldset class="set">
            <legend>{move || store.with(|s| name(&extra(&s.plan().batch)))}</legend>
            <div class="fields">
                <TextField
                    label="Colour"
                    value=of_batch(store, move |batch| extra(batch).colour)
                    commit=move |text: String| set(&|extra| extra.colour.clone_from(&text))
                />
                <Choice
                    label="Plastic"
                    options=Plastic::ALL.map(|p| (p, p.name().to_owned())).to_vec()
                    value=of_batch(store, move |batch| extra(batch).stock.plastic)
                    commit=move |plastic| set(&|extra| extra.stock.plastic = plastic)
                />
                <LengthField
                    label="Gauge"
                    value=of_batch(store, move |batch| extra(batch).stock.gauge)
                    commit=move |gauge| set(&|extra| extra.stock.gauge = gauge)
                />
                <LengthField
                    label="Sheet width"
                    value=of_batch(store, move |batch| extra(batch).stock.sheet.width)
                    commit=move |width| set(&|extra| extra.stock.sheet.width = width)
                />
                <LengthField
                    label="Sheet depth"
                    value=of_batch(store, move |batch| extra(batch).stock.sheet.depth)
                    commit=move |depth| set(&|extra| extra.stock.sheet.depth = depth)
                />
                <TextField
                    label="Price of a whole sheet"
                    value=of_batch(store, price)
                    commit=move |text: String| {
                        let price = read_money(&text)?;
                        set(&|extra| extra.stock.price = price)
                    }
                />
            </div>
            <div class="row">
                <Button label="Remove this sheet" press=remove/>
            </div>
        </fieldset>
    }
    .into_any()
}

//! What is done at the bench: a pull begun, timed and logged; pulls taken off, put back, exported and imported.

use std::sync::Arc;
use std::time::Duration;

use engine::file::{load_log, save_log};
use engine::heat::{Calibration, Heater, Heating, Sides, heating};
use engine::record::{Logbook, PhotoId, PullRecord, RecordId, learned_heat};
use leptos::leptos_dom::helpers::IntervalHandle;
use works::HeaterSaid;

use super::running::{Phase, Running};
use super::words;
use crate::panels::change::{say_done, say_refused};
use crate::panels::desk::{PanelKey, use_desk};
use crate::platform::{
    LogShelf, Moment, PickedFile, allow_sound, beep, download, focus_next, keep_awake, keep_heater,
    keep_photo, keep_photos_only, kept_heater, let_sleep, now, on_other_tab,
};
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Committed, Voice, use_voice};

/// How often the timer is looked at.
const TICK: Duration = Duration::from_millis(250);

/// What was thrown away last, and can be brought back while the page is open.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Gone {
    /// A pull of the log.
    Logged(RecordId, Box<PullRecord>),
    /// The pull that was going on.
    Running(Box<Running>),
}

/// The bench; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bench {
    store: Store,
    voice: Voice,
    /// The log, read whole.
    pub(super) book: RwSignal<Arc<Logbook>>,
    /// How many pulls in the browser's storage could not be read; they stay where they are.
    pub(super) unread: RwSignal<usize>,
    /// The pull that is going on.
    pub(super) running: RwSignal<Option<Running>>,
    /// The moment the timer shows.
    pub(super) clock: RwSignal<u64>,
    /// What the maker said of the heater: the panel of heat and the bench speak of one.
    pub(in crate::panels) heater: RwSignal<HeaterSaid>,
    /// Whether tones sound.
    pub(super) has_sound: RwSignal<bool>,
    /// Whether the browser keeps the screen on; nothing while it was not asked.
    pub(super) is_awake: RwSignal<Option<bool>>,
    /// What was thrown away last.
    pub(super) gone: RwSignal<Option<Gone>>,
    found: Memo<[Option<Calibration>; 2]>,
    ticking: StoredValue<Option<IntervalHandle>>,
    told: StoredValue<u8>,
}

/// Puts the bench in reach of the panels, and goes on with a pull that was going on when the tab died.
pub(crate) fn provide_bench(store: Store) -> Bench {
    let (book, unread) = read_all();
    let running = LogShelf.running().and_then(|text| Running::from_text(&text));
    let last = running.as_ref().map(|running| running.record.sides);
    let last = last.or_else(|| book.iter().next_back().map(|(_, record)| record.sides));
    let is_both = last == Some(Sides::Both);
    let heater = HeaterSaid::from_words(&kept_heater())
        .unwrap_or(HeaterSaid { is_both, ..HeaterSaid::default() });
    let book = RwSignal::new(Arc::new(book));
    let found = memo(move |_| {
        let book = book.get();
        [Sides::One, Sides::Both].map(|sides| learned_heat(&book, sides))
    });
    let bench = Bench {
        store,
        voice: use_voice(),
        book,
        unread: RwSignal::new(unread),
        running: RwSignal::new(None),
        clock: RwSignal::new(now().0),
        heater: RwSignal::new(heater),
        has_sound: RwSignal::new(false),
        is_awake: RwSignal::new(None),
        gone: RwSignal::new(None),
        found,
        ticking: StoredValue::new(None),
        told: StoredValue::new(0),
    };
    let told = move || bench.heater.get();
    Effect::watch(told, |heater: &HeaterSaid, _, _| keep_heater(&heater.to_words()), false);
    on_other_tab(move |key, _| {
        if LogShelf.is_ours(key) {
            bench.reread();
        }
        if LogShelf.is_running(key) {
            bench.follow();
        }
    });
    if unread == 0 {
        bench.sweep_photos(running.as_ref());
    }
    if let Some(running) = running {
        bench.go_on(running);
        use_desk().panel.set(PanelKey::Bench);
    }
    provide_context(bench);
    bench
}

/// The bench of the page; a page without one is a bug with this name.
pub(crate) fn use_bench() -> Bench {
    expect_context::<Bench>()
}

/// The log as the browser keeps it, and how many texts of it could not be read.
fn read_all() -> (Logbook, usize) {
    let texts = LogShelf.texts();
    texts.iter().fold((Logbook::default(), 0), |(book, unread), text| {
        let both = load_log(text).ok().and_then(|one| book.merge(&one).ok());
        match both {
            Some(both) => (both.book, unread),
            None => (book, unread + 1),
        }
    })
}

impl Bench {
    /// What the maker's own pulls say of a heater of these sides; tracks the log.
    pub(crate) fn calibration(self, sides: Sides) -> Option<Calibration> {
        self.found.with(|found| found[usize::from(sides == Sides::Both)])
    }

    /// How the sheet of a pull warms, as far as the log knows the heater.
    pub(super) fn times(self, record: &PullRecord) -> Heating {
        let mut heater = Heater { sides: record.sides, ..self.heater.get().heater() };
        heater.room = record.room.unwrap_or(heater.room);
        if let Some(Calibration { absorbed, .. }) = self.calibration(record.sides) {
            heater.absorbed = absorbed;
        }
        heating(record.plastic, record.gauge, &heater)
    }

    /// Whether the maker said what the heater gives; tracks it.
    pub(super) fn is_said(self) -> bool {
        self.heater.get().flux.map(f64::to_bits) != HeaterSaid::default().flux.map(f64::to_bits)
    }

    /// The sides that the heater reaches; tracks what the maker said.
    pub(super) fn sides(self) -> Sides {
        if self.heater.get().is_both { Sides::Both } else { Sides::One }
    }

    /// The pull on the board, as it would be logged now.
    pub(super) fn on_board(self) -> PullRecord {
        let at = Moment(self.clock.get_untracked()).day_and_time();
        let sides = self.sides();
        self.store.with(|session| PullRecord::begun(&at, session.plan(), session.pull, sides))
    }

    /// Begins a pull: with the timer, or to be noted afterwards.
    pub(super) fn begin(self, is_timed: bool) {
        let moment = self.tick_now();
        let record = untrack(|| self.on_board());
        let running = Running::begin(self.free_id(moment), record, is_timed);
        if is_timed {
            self.turn_sound(true);
        }
        self.go_on(running);
    }

    fn free_id(self, moment: u64) -> u64 {
        let is_free = |id: &u64| self.book.with_untracked(|book| book.get(RecordId(*id)).is_none());
        (moment..).find(is_free).unwrap_or(moment)
    }

    /// Goes on with a pull: stores it, starts the timer, keeps the screen on.
    fn go_on(self, mut running: Running) {
        running.see(self.tick_now());
        let is_timing = running.phase() != Phase::Done;
        let moment = self.clock.get_untracked();
        let done = running.elapsed(moment).filter(|_| running.phase() == Phase::Heating);
        let times = untrack(|| self.times(&running.record));
        // What lies behind a page that comes back is not told again.
        self.told.set_value(done.map_or(0, |time| stage(&times, time.get())));
        self.keep(running);
        if is_timing {
            keep_awake(move |is_kept| self.is_awake.set(Some(is_kept)));
            self.start_ticking();
        }
    }

    fn start_ticking(self) {
        let is_ticking = self.ticking.with_value(Option::is_some);
        if !is_ticking {
            let handle = set_interval_with_handle(move || self.tick(), TICK).ok();
            self.ticking.set_value(handle);
        }
    }

    fn stop_ticking(self) {
        if let Some(handle) = self.ticking.try_update_value(Option::take).flatten() {
            handle.clear();
        }
        let_sleep();
        self.is_awake.set(None);
    }

    fn tick_now(self) -> u64 {
        let moment = now().0;
        self.clock.set(moment);
        moment
    }

    fn tick(self) {
        let moment = self.tick_now();
        let Some(mut running) = self.running.get_untracked() else { return };
        if running.is_due(moment) {
            running.see(moment);
            self.keep(running.clone());
        }
        if let (Phase::Heating, Some(time)) = (running.phase(), running.elapsed(moment)) {
            self.tell(&running, time.get());
        }
    }

    /// Says and sounds once that it is time to watch, and that the limit may be reached.
    fn tell(self, running: &Running, seconds: f64) {
        let times = untrack(|| self.times(&running.record));
        let reached = stage(&times, seconds);
        if reached > self.told.get_value() {
            self.told.set_value(reached);
            self.voice.say(words::now(&times, seconds));
            if self.has_sound.get_untracked() {
                if reached == 1 { beep(1, 660.0) } else { beep(3, 880.0) }
            }
        }
    }

    /// Shows the running pull as it is now, and stores it at once.
    fn keep(self, running: Running) {
        let stored = LogShelf.set_running(Some(&running.to_text()));
        self.running.set(Some(running));
        if let Err(trouble) = stored {
            let words = format!("This pull is kept only until the page is closed: {trouble}.");
            say_refused(self.store, words);
        }
    }

    /// Presses a button of the timer.
    pub(super) fn press(self, with: fn(&mut Running, u64)) {
        let moment = self.tick_now();
        if let Some(mut running) = self.running.get_untracked() {
            with(&mut running, moment);
            let is_done = running.phase() == Phase::Done;
            self.keep(running);
            if is_done {
                self.stop_ticking();
            }
        }
    }

    /// Changes what is known of the running pull, or says under its field why not.
    pub(super) fn note(self, with: impl FnOnce(&mut PullRecord)) -> Committed {
        let Some(mut running) = self.running.get_untracked() else { return Ok(()) };
        with(&mut running.record);
        Logbook::default()
            .add(RecordId(running.id), &running.record)
            .map_err(|error| format!("Not changed: {error}."))?;
        self.keep(running);
        Ok(())
    }

    /// Lets tones sound, or not; to be called from within a press.
    pub(super) fn turn_sound(self, on: bool) {
        self.has_sound.set(on && allow_sound());
    }

    /// Puts the running pull into the log.
    pub(super) fn log(self) {
        let Some(running) = self.running.get_untracked() else { return };
        if running.record.outcomes.is_empty() {
            say_refused(self.store, "Say how it came out first: good, or what went wrong.");
            return;
        }
        let id = RecordId(running.id);
        if let Err(words) = self.put(id, &running.record) {
            say_refused(self.store, words);
            return;
        }
        self.end();
        say_done(self.store, "The pull is in the log.");
        focus_next(vec!["bench-start".to_owned()]);
    }

    /// Throws the running pull away; it can be brought back.
    pub(super) fn give_up(self) {
        if let Some(running) = self.running.get_untracked() {
            self.gone.set(Some(Gone::Running(Box::new(running))));
        }
        self.end();
        focus_next(vec!["bench-start".to_owned()]);
    }

    fn end(self) {
        self.stop_ticking();
        self.running.set(None);
        // Forgetting cannot be refused.
        let _ = LogShelf.set_running(None);
    }

    /// Puts a pull into the log and the browser's storage.
    fn put(self, id: RecordId, record: &PullRecord) -> Committed {
        let book = self.book.get_untracked().add(id, record);
        let book = book.map_err(|error| format!("The pull was not logged: {error}."))?;
        let stored = self.store_one(&book, id);
        self.book.set(Arc::new(book));
        if !stored {
            let words = "The pull is in the log only until this page is closed, because the browser's storage took no more: \
                         export the log.";
            say_refused(self.store, words);
        }
        Ok(())
    }

    fn store_one(self, book: &Logbook, id: RecordId) -> bool {
        let Some(record) = book.get(id) else { return false };
        let one = Logbook::default().add(id, record).unwrap_or_default();
        LogShelf.write(id.0, &save_log(&one)).is_ok()
    }

    /// Takes a pull out of the log; it can be put back.
    pub(super) fn remove(self, id: RecordId) {
        if let Ok((book, record)) = self.book.get_untracked().remove(id) {
            LogShelf.remove(id.0);
            self.book.set(Arc::new(book));
            self.gone.set(Some(Gone::Logged(id, Box::new(record))));
        }
    }

    /// Brings back what was thrown away last.
    pub(super) fn put_back(self) {
        match self.gone.get_untracked() {
            Some(Gone::Logged(id, record)) => {
                if let Err(words) = self.put(id, &record) {
                    return say_refused(self.store, words);
                }
            }
            Some(Gone::Running(_)) if self.running.with_untracked(Option::is_some) => {
                return say_refused(self.store, "Log the pull that is going on first.");
            }
            Some(Gone::Running(running)) => self.go_on(*running),
            None => {}
        }
        self.gone.set(None);
        // The button that had the keyboard is gone.
        focus_next(vec!["bench-title".to_owned()]);
    }

    /// Keeps a photo with the running pull.
    pub(super) fn photograph(self, file: PickedFile) {
        let Some(id) = self.running.with_untracked(|running| running.as_ref().map(|r| r.id)) else {
            return;
        };
        // Under a number of its own, so that another photo of the same pull is another address.
        let photo = now().0;
        keep_photo(photo, file, move |kept| {
            let is_same =
                self.running.with_untracked(|running| running.as_ref().is_some_and(|r| r.id == id));
            let noted = kept.and_then(|()| {
                if is_same {
                    self.note(|record| record.photo = Some(PhotoId(photo)))
                } else {
                    Ok(())
                }
            });
            match noted {
                Ok(()) => say_done(self.store, "The photo is kept with this pull."),
                Err(words) => say_refused(self.store, words),
            }
        });
    }

    fn sweep_photos(self, running: Option<&Running>) {
        let book = self.book.get_untracked();
        let photos = book.iter().filter_map(|(_, record)| record.photo);
        let photos = photos.chain(running.and_then(|running| running.record.photo));
        keep_photos_only(photos.map(|photo| photo.0).collect());
    }

    fn reread(self) {
        let (book, unread) = read_all();
        self.unread.set(unread);
        self.book.set(Arc::new(book));
    }

    /// The running pull as another tab has it: pressed, noted or logged there.
    fn follow(self) {
        let running = LogShelf.running().and_then(|text| Running::from_text(&text));
        let is_timing = running.as_ref().is_some_and(|running| running.phase() != Phase::Done);
        self.running.set(running);
        if is_timing { self.start_ticking() } else { self.stop_ticking() }
    }

    /// Hands the log to the user as a file.
    pub(super) fn export(self) {
        let name = format!("Pulls {}.json", now().day());
        let text = save_log(&self.book.get_untracked());
        match download(&name, "application/json", text.as_bytes()) {
            Ok(()) => say_done(self.store, format!("{name} is saved with your downloads.")),
            Err(words) => say_refused(self.store, words),
        }
    }

    /// Takes the pulls of a file into the log, each once.
    pub(in crate::panels) fn import(self, name: &str, text: &str) {
        let before = self.book.get_untracked();
        let merged = load_log(text)
            .map_err(|error| error.to_string())
            .and_then(|book| before.merge(&book).map_err(|error| error.to_string()));
        let merged = match merged {
            Ok(merged) => merged,
            Err(error) => return say_refused(self.store, format!("{name} was not read: {error}.")),
        };
        let fresh = merged.book.iter().filter(|(id, record)| before.get(*id) != Some(*record));
        let unkept = fresh.filter(|(id, _)| !self.store_one(&merged.book, *id)).count();
        let say = if unkept == 0 { say_done } else { say_refused };
        say(self.store, words::merged(name, &merged, unkept));
        self.book.set(Arc::new(merged.book));
    }
}

/// How far a heat is: 0 before it is time to watch, 1 from then, 2 when the limit may be reached.
fn stage(times: &Heating, seconds: f64) -> u8 {
    if seconds >= times.limit.from.get() {
        2
    } else {
        u8::from(seconds >= times.watch_from.from.get())
    }
}

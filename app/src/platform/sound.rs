//! Tones, for a bench where nobody looks at the page; browsers let a page sound only once something was pressed.

use std::cell::RefCell;

use web_sys::{AudioContext, AudioContextState};

thread_local! {
    /// Made by the first press; a browser has room for few of them.
    static CONTEXT: RefCell<Option<AudioContext>> = const { RefCell::new(None) };
}

/// Makes sound possible; to be called from within a press. False where the browser has none.
pub(crate) fn allow_sound() -> bool {
    CONTEXT.with_borrow_mut(|context| {
        if context.is_none() {
            *context = AudioContext::new().ok();
        }
        // Refused only without a press, and then the state tells.
        context.as_ref().is_some_and(|context| context.resume().is_ok())
    })
}

/// Sounds so many short tones of this pitch, if sound was made possible.
pub(crate) fn beep(times: u32, hertz: f32) {
    CONTEXT.with_borrow(|context| {
        if let Some(context) = context {
            for at in 0..times {
                // What cannot sound is seen on the page.
                let _ = tone(context, f64::from(at) * 0.4, hertz);
            }
        }
    });
}

fn tone(context: &AudioContext, after: f64, hertz: f32) -> Result<(), wasm_bindgen::JsValue> {
    /// How long a tone is, in seconds, and how loud at its loudest.
    const LONG: f64 = 0.25;
    const LOUD: f32 = 0.4;
    if context.state() == AudioContextState::Closed {
        return Ok(());
    }
    let start = context.current_time() + after;
    let (source, volume) = (context.create_oscillator()?, context.create_gain()?);
    source.frequency().set_value(hertz);
    // Begun and ended softly, or it would click.
    volume.gain().set_value_at_time(0.0, start)?;
    volume.gain().linear_ramp_to_value_at_time(LOUD, start + 0.02)?;
    volume.gain().set_value_at_time(LOUD, start + LONG - 0.05)?;
    volume.gain().linear_ramp_to_value_at_time(0.0, start + LONG)?;
    source.connect_with_audio_node(&volume)?;
    volume.connect_with_audio_node(&context.destination())?;
    source.start_with_when(start)?;
    source.stop_with_when(start + LONG)
}

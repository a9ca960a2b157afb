//! How much of the ground shows through what is filled and drawn.

use std::collections::BTreeMap;

use pdf_writer::writers::Resources;

/// Graphics states of all pages, each of an opacity for what is filled and one for lines (8.4.5), in thousandths.
#[derive(Debug, Default)]
pub(super) struct Opacities(BTreeMap<[u16; 2], String>);

impl Opacities {
    /// The name of the state for two opacities; none where nothing shows through.
    pub(super) fn named(&mut self, fill: f32, line: f32) -> Option<&str> {
        let key = [fill, line].map(|opacity| (opacity.clamp(0.0, 1.0) * 1000.0).round() as u16);
        if key == [1000, 1000] {
            return None;
        }
        let next = format!("G{}", self.0.len());
        Some(self.0.entry(key).or_insert(next))
    }

    /// All states, for the pages' resources.
    pub(super) fn write(&self, resources: &mut Resources<'_>) {
        let mut states = resources.ext_g_states();
        for ([fill, line], name) in &self.0 {
            let mut state = states
                .insert(pdf_writer::Name(name.as_bytes()))
                .start::<pdf_writer::writers::ExtGraphicsState<'_>>();
            state.non_stroking_alpha(f32::from(*fill) / 1000.0);
            state.stroking_alpha(f32::from(*line) / 1000.0);
        }
    }
}

//! Prices of boards, and what is known of species in this job.

use heartside_geometry::SortedMap;

use super::reading::{Reading, Thing, Wanted};
use crate::diagnostic::{Level, Subject};
use crate::document::{self, Document, PricePer};
use crate::job::Board;
use crate::length::Unit;
use crate::measure::{board_tally, cubic_metres};
use crate::shared_names::{counts_as, woods_called};
use crate::words::either;

/// Greatest price that is believed.
const MOST_MONEY: f64 = 1.0e9;

/// A board whose own price, if any, has been read.
pub(super) struct Draft {
    pub(super) row: usize,
    pub(super) board: Board,
    pub(super) own_price: Option<f64>,
}

/// Rates by volume, and one spelling for each species.
pub(super) struct Rates {
    unit: Unit,
    job_rate: Option<f64>,
    by_species: SortedMap<String, f64>,
    densities: SortedMap<String, f64>,
    spellings: SortedMap<String, String>,
}

impl Rates {
    pub(super) fn read(document: &Document, reading: &mut Reading<'_>) -> Rates {
        let mut money = |place, what: &str, amount: Option<f64>| {
            amount.and_then(|amount| reading.number(place, what, amount, (0.0, MOST_MONEY)))
        };
        let job_rate = money(
            Thing::job().field("timber_rate"),
            "price of timber",
            document.timber_rate,
        );
        let mut rates = Rates {
            unit: document.units.length,
            job_rate,
            by_species: SortedMap::new(),
            densities: SortedMap::new(),
            spellings: SortedMap::new(),
        };
        for (row, species) in document.species.iter().enumerate() {
            rates.species(row, species, reading);
        }
        rates.ask_which(document, reading);
        for board in &document.boards {
            rates.add_spelling(&board.species);
        }
        rates
    }

    /// Asks once for every name that stands for several woods, unless the job says itself what
    /// that wood weighs.
    fn ask_which(&self, document: &Document, reading: &mut Reading<'_>) {
        let mut asked: Vec<&[&str]> = Vec::new();
        for (row, board) in document.boards.iter().enumerate() {
            let woods = woods_called(&board.species);
            let name = board.species.trim();
            if woods.is_empty() || asked.contains(&woods) || self.own_density(name).is_some() {
                continue;
            }
            asked.push(woods);
            let level = match self.unit {
                Unit::Inches => Level::Warning,
                Unit::Millimetres => Level::Note,
            };
            let meanwhile = counts_as(name).map_or_else(
                || "until then its weight is not known".to_owned(),
                |wood| format!("until then it weighs what {} weighs", wood.name),
            );
            reading.say(
                level,
                "species-which",
                Thing::board(document, row).field("species"),
                format!("\u{201c}{name}\u{201d} may be {}", either(woods)),
                format!("say which on each such board; {meanwhile}"),
            );
        }
    }

    fn species(&mut self, row: usize, species: &document::Species, reading: &mut Reading<'_>) {
        let name = species.name.trim();
        let thing = Thing::row(Subject::Job, row, "", name);
        let path = |field: &str| thing.field(&format!("species[{row}].{field}"));
        let key = name.to_lowercase();
        if name.is_empty() {
            let message = "this species has no name";
            reading.error(
                "species-without-name",
                path("name"),
                message,
                "boards refer to it by name",
            );
            return;
        }
        if self.spellings.contains_key(&key) {
            let message = format!("the species \u{201c}{name}\u{201d} is there twice");
            reading.error(
                "species-twice",
                path("name"),
                message,
                "remove one; the first one counts",
            );
            return;
        }
        self.add_spelling(name);
        let mut read = |field: &str, what: &str, value: Option<f64>, limits| {
            value.and_then(|value| reading.number(path(field), what, value, limits))
        };
        if let Some(density) = read("density", "density", species.density, (50.0, 1500.0)) {
            self.densities.insert(key.clone(), density);
        }
        if let Some(price) = read("price_m3", "price", species.price_m3, (0.0, MOST_MONEY)) {
            self.by_species.insert(key, price);
        }
        read(
            "tangential",
            "tangential movement",
            species.tangential,
            (0.0, 0.02),
        );
        read("radial", "radial movement", species.radial, (0.0, 0.02));
    }

    fn add_spelling(&mut self, name: &str) {
        let name = name.trim();
        if !name.is_empty() {
            self.spellings
                .entry(name.to_lowercase())
                .or_insert_with(|| name.to_owned());
        }
    }

    /// The one spelling that boards and parts use for a species, so that capitals and
    /// spaces never part them.
    pub(super) fn spelling(&self, name: &str) -> String {
        let name = name.trim();
        self.spellings
            .get(&name.to_lowercase())
            .cloned()
            .unwrap_or_else(|| name.to_owned())
    }

    /// The density that the job sets for a species.
    fn own_density(&self, species: &str) -> Option<f64> {
        self.densities.get(&species.trim().to_lowercase()).copied()
    }

    /// The density of a species: the job's own, else that of the table.
    pub(super) fn density(&self, species: &str) -> Option<f64> {
        self.own_density(species)
            .or_else(|| counts_as(species)?.density)
    }

    /// The species that a part accepts under a name: that name, and where it stands for several
    /// woods each of them that a board of the job has.
    pub(super) fn accepted_as(&self, name: &str) -> Vec<String> {
        let mut accepted = vec![self.spelling(name)];
        for wood in woods_called(name) {
            accepted.extend(self.spellings.get(&wood.to_lowercase()).cloned());
        }
        accepted
    }

    fn rate(&self, board: &Board) -> Option<f64> {
        self.by_species
            .get(&board.species.to_lowercase())
            .copied()
            .or(self.job_rate)
    }

    /// Gives every board its cost. True where no price is known at all, so that costs are
    /// cubic metres.
    ///
    /// A board without any price counts at the mean of the priced ones by volume, which is
    /// said: a free board would attract every part. Pieces have no price of their own and do not
    /// count in the mean; what they cost went with the boards that they came from.
    pub(super) fn settle(
        &self,
        document: &Document,
        drafts: Vec<Draft>,
        reading: &mut Reading<'_>,
    ) -> (Vec<Board>, bool) {
        let is_piece = |draft: &Draft| document.boards[draft.row].from.is_some();
        let known: Vec<Option<f64>> = drafts
            .iter()
            .map(|d| {
                d.own_price
                    .or_else(|| Some(self.rate(&d.board)? * cubic_metres(d.board.volume())))
            })
            .collect();
        let (mut money, mut volume) = (0.0, 0.0);
        let bought = || drafts.iter().zip(&known).filter(|(d, _)| !is_piece(d));
        for (draft, cost) in bought() {
            if let Some(cost) = cost {
                money += cost;
                volume += cubic_metres(draft.board.volume());
            }
        }
        let none_known = bought().all(|(_, cost)| cost.is_none());
        let mean = if volume > 0.0 { money / volume } else { 0.0 };
        let mut boards = Vec::with_capacity(drafts.len());
        for (draft, cost) in drafts.into_iter().zip(known) {
            let is_piece = is_piece(&draft);
            let Draft { row, mut board, .. } = draft;
            let volume = cubic_metres(board.volume());
            board.cost = match cost {
                Some(cost) => cost,
                None if none_known => volume,
                None if is_piece => mean * volume,
                None => {
                    reading.say(
                        Level::Note,
                        "price-missing",
                        Thing::board(document, row).field("price"),
                        "the board has no price and counts at the mean of the others",
                        "write in its price, or a price of timber for the job",
                    );
                    board.cost_is_estimate = true;
                    mean * volume
                }
            };
            boards.push(board);
        }
        (boards, none_known)
    }
}

/// The full price of one board from its own entry. A price that cannot be used is said and
/// passed over: it does not make the wood unusable.
pub(super) fn own_price(
    source: &document::Board,
    board: &Board,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<f64> {
    let nominal = nominal(source, thing, reading);
    let price = source.price.as_ref()?;
    if !price.amount.is_finite() || !(0.0..=MOST_MONEY).contains(&price.amount) {
        reading.warn(
            "price-not-usable",
            thing.field("price.amount"),
            "the price is not a sum of money, so it is passed over",
            "write in what the board costs",
        );
        return None;
    }
    let quantity = match price.per {
        PricePer::Board => 1.0,
        PricePer::M3 => cubic_metres(board.volume()),
        PricePer::M2 => board.outline.area() / 1.0e6,
        PricePer::BoardFoot => {
            let length = board.outline.bounds().width();
            let width = board.outline.area() / length;
            board_tally(length, width, nominal.unwrap_or(board.thickness)).board_feet
        }
        PricePer::M => board.outline.bounds().width() / 1000.0,
    };
    Some(price.amount * quantity)
}

/// What the board was sold as. A size that cannot be used is said and passed over: it does not
/// make the wood unusable.
fn nominal(source: &document::Board, thing: &Thing, reading: &mut Reading<'_>) -> Option<f64> {
    let length = source.nominal.as_ref()?;
    reading.optional(
        thing.field("nominal"),
        "size it was sold as",
        length,
        Wanted::NOMINAL_THICKNESS,
    )
}

//! The evidence on all materials, and the road from an ask to a belief.

use crate::belief::auxiliary;
use crate::belief::believed::{BiasBlock, Inner};
use crate::belief::distribution::Distribution;
use crate::belief::heat::{self, LineFrom};
use crate::belief::index::{Index, Seen};
use crate::belief::lend::{Loan, Population, plausible};
use crate::belief::moisture::{Swelling, any_climate, room_share};
use crate::belief::own::{self, Prior};
use crate::belief::pool::{self, Scatter};
use crate::belief::select::{self, Selection};
use crate::belief::temperature::Setting;
use crate::belief::{Belief, Grade, Material, Note, Rests, Road, Stated};
use crate::bench::ReducedRun;
use crate::num::ChiRoot;
use crate::policy::Policy;
use crate::property::{Ask, Properties, Property, PropertyId, Scale, polymer};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock, RwLock};

/// Degrees of freedom in whole quarters up to this many have their chi-square map kept.
const CHI_KEPT: usize = 4 * 96;
/// Another surface of the same material says this many stated spreads less.
const OTHER_SURFACE_SPREADS: f64 = 2.0;

/// All evidence of a workspace, and the policy it is read by.
///
/// Immutable once made; what it keeps inside are results that depend on nothing else.
#[derive(Clone, Debug, Default)]
pub struct Evidence {
    materials: Vec<Material>,
    runs: Vec<ReducedRun>,
    pub(super) stated: Vec<Stated>,
    pub(super) policy: Policy,
    properties: Properties,
    pub(super) index: Index,
    kept: Arc<Kept>,
}

/// Results kept for the next ask.
#[derive(Debug, Default)]
struct Kept {
    chi: Vec<OnceLock<Arc<ChiRoot>>>,
    populations: RwLock<BTreeMap<String, Arc<Population>>>,
    swelling: Vec<OnceLock<Swelling>>,
}

impl Evidence {
    /// Gathers evidence; set-aside runs are kept for show and give nothing.
    pub fn new(
        materials: Vec<Material>,
        runs: Vec<ReducedRun>,
        stated: Vec<Stated>,
        policy: Policy,
        properties: Properties,
    ) -> Self {
        let index = Index::new(&materials, &runs, &stated, &properties, &policy);
        let kept = Kept {
            chi: vec![OnceLock::new(); CHI_KEPT + 1],
            populations: RwLock::default(),
            swelling: vec![OnceLock::new(); materials.len()],
        };
        Evidence {
            materials,
            runs,
            stated,
            policy,
            properties,
            index,
            kept: Arc::new(kept),
        }
    }

    /// All materials.
    pub fn materials(&self) -> &[Material] {
        &self.materials
    }
    /// All reduced runs, set-aside ones among them.
    pub fn runs(&self) -> &[ReducedRun] {
        &self.runs
    }
    /// All stated values.
    pub fn stated(&self) -> &[Stated] {
        &self.stated
    }
    /// The policy.
    pub fn policy(&self) -> &Policy {
        &self.policy
    }
    /// The property table.
    pub fn properties(&self) -> &Properties {
        &self.properties
    }

    /// One standard normal draw per calibration part behind any evidence, for each draw of a block.
    pub fn bias_block(&self, seed: u64, block: u64) -> BiasBlock {
        BiasBlock::new(seed, block, self.index.calibrations())
    }

    /// What is believed of a material under an ask; an unknown material or property is absent.
    ///
    /// Own readings first, exact ones alone where there are any; else a stated value; else what the
    /// polymer lends; else, for friction and wear, the material's own figure on another surface.
    pub fn believe(&self, material: &str, ask: &Ask) -> Belief {
        self.believe_by(material, ask).0
    }

    /// The same, and which evidence it was made of.
    pub(super) fn believe_by(&self, material: &str, ask: &Ask) -> (Belief, Road) {
        let (mut b, road) = self.unended(material, ask);
        if let Some(row) = self.properties.get(ask.property.as_str()) {
            b.ends = row.ends();
            if let Some(e) = b.as_exact.as_deref_mut() {
                e.ends = row.ends();
            }
        }
        (b, road)
    }

    /// The same before figures are held to what the quantity can be.
    fn unended(&self, material: &str, ask: &Ask) -> (Belief, Road) {
        let Some(row) = self.properties.get(ask.property.as_str()) else {
            let key = format!("{material}/{}", ask.property);
            return (Belief::absent(Scale::Log, key), Road::Nothing);
        };
        let key = stream_key(material, row, ask);
        let Some((number, m)) = self
            .index
            .material(material)
            .and_then(|n| Some((n, self.materials.get(n)?)))
        else {
            return (Belief::absent(row.scale, key), Road::Nothing);
        };
        if row.auxiliary {
            return auxiliary::believe(self, m, row, ask, key);
        }
        let selection = self.select(number, m, row, ask, false);
        if !selection.picks.is_empty()
            && let Some(b) = self.own_belief(number, m, row, ask, &selection, &key)
        {
            return (b, Road::Own);
        }
        let mut notes = selection.notes;
        let by = |road: Road| move |b: Belief| (b, road);
        let (mut b, road) = self
            .stated_belief(m, row, ask, &key)
            .map(by(Road::Stated))
            .or_else(|| self.sustained(material, row, ask).map(by(Road::ShortTime)))
            .or_else(|| {
                self.borrowed(number, m, row, ask, &key)
                    .map(by(Road::Polymer))
            })
            .or_else(|| {
                self.other_surface(number, m, row, ask, &key)
                    .map(by(Road::OtherSurface))
            })
            .unwrap_or_else(|| (Belief::absent(row.scale, key), Road::Nothing));
        notes.append(&mut b.notes);
        b.notes = notes;
        (b, road)
    }

    /// The own observations that count for an ask.
    pub(super) fn select<'a>(
        &'a self,
        number: usize,
        material: &Material,
        row: &Property,
        ask: &Ask,
        other_surface: bool,
    ) -> Selection<'a> {
        let seen = self.index.own(&self.runs, number, &row.id);
        if seen.is_empty() {
            return Selection::default();
        }
        self.select_of(&seen, material, row, ask, other_surface)
    }

    /// What counts of some observations of a material.
    pub(super) fn select_of<'a>(
        &self,
        seen: &[Seen<'a>],
        material: &Material,
        row: &Property,
        ask: &Ask,
        other_surface: bool,
    ) -> Selection<'a> {
        let swelling = self.swelling(material, row);
        let setting = Setting {
            row,
            ask,
            policy: &self.policy,
            onset_c: &|| heat::measured_onset(self, &material.id, ask),
        };
        select::select(seen, swelling, &setting, other_surface)
    }

    fn own_belief(
        &self,
        number: usize,
        m: &Material,
        row: &Property,
        ask: &Ask,
        selection: &Selection<'_>,
        key: &str,
    ) -> Option<Belief> {
        let kind = selection.picks.first().map(|p| p.rig_kind);
        let scatter = self.scatter(number, row, kind);
        let prior = || Some(self.centre_of_bounds(number, m, row, ask));
        let b = own::believe(self, row, &scatter, selection, key, &prior)?;
        match &selection.line_from {
            Some(from) => match self.in_heat(b, &m.id, ask, from) {
                Some(b) => Some(b),
                None => {
                    let mut absent = Belief::absent(row.scale, key.to_owned());
                    absent.notes.clone_from(&selection.notes);
                    absent.notes.push(Note::NoOnset);
                    Some(absent)
                }
            },
            None => Some(b),
        }
    }

    /// A belief warmer than its runs, on the line to the onset; `None` where it wants an onset and
    /// none is known.
    pub(super) fn in_heat(
        &self,
        mut b: Belief,
        material: &str,
        ask: &Ask,
        from: &LineFrom,
    ) -> Option<Belief> {
        let left = heat::left(self, material, b.scale, ask, from)?;
        let take = |b: &mut Belief| {
            b.share *= left.share;
            b.on_line |= left.assumed;
            b.grade = b.grade.min(left.grade);
            b.notes.extend(left.notes.iter().cloned());
        };
        if let Some(e) = b.as_exact.as_deref_mut() {
            take(e);
        }
        take(&mut b);
        Some(b)
    }

    /// Sustained strength without a run: a policy share of the short-time strength in that direction.
    fn sustained(&self, material: &str, row: &Property, ask: &Ask) -> Option<Belief> {
        if row.id.as_str() != "sustained-strength" {
            return None;
        }
        let mut b = self.believe(material, &self.short_time(row, ask));
        if b.is_absent() {
            return None;
        }
        let share = self.policy.sustained_share;
        for x in b.as_exact.as_deref_mut().into_iter() {
            x.share *= share;
            x.notes.push(Note::SustainedAssumed(share));
        }
        b.share *= share;
        b.notes.push(Note::SustainedAssumed(share));
        Some(b)
    }

    /// The short-time strength that sustained strength is taken a share of.
    pub(super) fn short_time(&self, row: &Property, ask: &Ask) -> Ask {
        Ask {
            property: PropertyId::fixed("tensile-strength"),
            lies: select::lies(row, ask),
            life_h: None,
            stress_mpa: None,
            ..ask.clone()
        }
    }

    pub(super) fn population(&self, row: &Property, ask: &Ask) -> Arc<Population> {
        let key = format!(
            "{}/{}/{:?}/{:?}/{}",
            stream_key("", row, ask),
            ask.temperature_c,
            ask.life_h,
            ask.stress_mpa,
            ask.stiffer_is_worse
        );
        if let Ok(kept) = self.kept.populations.read()
            && let Some(p) = kept.get(&key)
        {
            return Arc::clone(p);
        }
        let p = Arc::new(Population::gather(self, row, ask));
        if let Ok(mut kept) = self.kept.populations.write() {
            kept.insert(key, Arc::clone(&p));
        }
        p
    }

    pub(super) fn loan(
        &self,
        number: usize,
        m: &Material,
        row: &Property,
        ask: &Ask,
    ) -> Option<Loan> {
        if m.polymers.is_empty() {
            return None;
        }
        self.population(row, ask).lend(self, row, number, m)
    }

    fn borrowed(
        &self,
        number: usize,
        m: &Material,
        row: &Property,
        ask: &Ask,
        key: &str,
    ) -> Option<Belief> {
        let loan = self.loan(number, m, row, ask)?;
        let mut b = Belief::absent(row.scale, key.to_owned());
        b.grade = Grade::Borrowed;
        b.notes.push(Note::BorrowedFrom {
            polymer: loan.polymer,
            materials: loan.materials,
        });
        b.inner = if loan.gone {
            Inner::Known(0.0)
        } else {
            self.about(number, row, loan.prior)
        };
        Some(b)
    }

    /// What own bounds have for their centre, and where that comes from: a stated value, else the
    /// last resort.
    pub(super) fn centre_of_bounds(
        &self,
        number: usize,
        m: &Material,
        row: &Property,
        ask: &Ask,
    ) -> (Prior, Rests) {
        let said = self.said(m, row, ask, self.swelling(m, row));
        said.and_then(|s| {
            s.prior
                .filter(|p| s.line_from.is_none() && p.variance > 0.0)
        })
        .map(|p| (p, Rests::Stated))
        .unwrap_or_else(|| self.last_prior(number, m, row, ask))
    }

    /// The centre of last resort for a bound: the polymer, else all polymers, else the plausible range.
    pub(super) fn last_prior(
        &self,
        number: usize,
        m: &Material,
        row: &Property,
        ask: &Ask,
    ) -> (Prior, Rests) {
        if let Some(l) = self.loan(number, m, row, ask).filter(|l| !l.gone) {
            return (l.prior, Rests::Polymer);
        }
        match self.population(row, ask).all(self, row, number) {
            Some(p) => (p, Rests::AllPolymers),
            None => (plausible(row), Rests::PlausibleRange),
        }
    }

    /// For friction and wear: the own figure on another surface, its centre made unsure.
    fn other_surface(
        &self,
        number: usize,
        m: &Material,
        row: &Property,
        ask: &Ask,
        key: &str,
    ) -> Option<Belief> {
        if !row.by_counterface {
            return None;
        }
        let selection = self.select(number, m, row, ask, true);
        let kind = selection.picks.first().map(|p| p.rig_kind);
        let scatter = self.scatter(number, row, kind);
        let mut b = own::believe(self, row, &scatter, &selection, key, &|| {
            Some((plausible(row), Rests::PlausibleRange))
        })?;
        b.grade = Grade::Borrowed;
        b.specimens = 0;
        b.prints = 0;
        b.side = None;
        b.as_exact = None;
        if let Inner::Spread(d) = &mut b.inner {
            d.shared += (OTHER_SURFACE_SPREADS * self.stated_sd(row)).powi(2);
        }
        Some(b)
    }

    /// A normal opinion of the centre with the pooled spread.
    fn about(&self, number: usize, row: &Property, prior: Prior) -> Inner {
        let scatter = self.scatter(number, row, None);
        let chi = self.chi(scatter.dof);
        Inner::Spread(Box::new(Distribution::opinion(
            &scatter,
            chi,
            prior.at,
            prior.variance,
        )))
    }

    /// The spread of a property before a material's own readings.
    pub(super) fn scatter(&self, number: usize, row: &Property, kind: Option<&str>) -> Scatter {
        pool::scatter(self.index.pool(&row.id), row, &self.policy, number, kind)
    }

    /// The chi-square map of some degrees of freedom, made once where they are whole quarters.
    pub(super) fn chi(&self, dof: f64) -> Arc<ChiRoot> {
        let quarters = (4.0 * dof).round();
        if (quarters - 4.0 * dof).abs() < 1e-9
            && quarters >= 0.0
            && let Some(slot) = self.kept.chi.get(quarters as usize)
        {
            return Arc::clone(slot.get_or_init(|| Arc::new(ChiRoot::new(0.25 * quarters))));
        }
        Arc::new(ChiRoot::new(dof))
    }

    /// How a material's water uptake lets figures of one moisture count at another.
    pub(super) fn swelling(&self, material: &Material, row: &Property) -> Swelling {
        if any_climate(row) {
            return Swelling::default();
        }
        let make = || {
            let uptake = self.believe(&material.id, &Ask::of(PropertyId::fixed("water-uptake")));
            let taken = uptake.as_exact.as_deref().unwrap_or(&uptake);
            let figure = taken
                .mean_quantile(0.5)
                .filter(|_| uptake.grade >= Grade::Bounded);
            let limit = self.policy.dry_for_wet_uptake_percent;
            let parents = &material.polymers;
            Swelling {
                measured_low: figure.is_some_and(|u| u < limit),
                measured_high: figure.is_some_and(|u| u >= limit),
                polymer_low: !parents.is_empty()
                    && parents
                        .iter()
                        .all(|p| polymer(p).is_some_and(|p| !p.hygroscopic)),
                room: self.index.material(&material.id).and_then(|n| {
                    let id = PropertyId::fixed("water-uptake");
                    room_share(&self.index.own(&self.runs, n, &id))
                }),
            }
        };
        match self
            .index
            .material(&material.id)
            .and_then(|n| self.kept.swelling.get(n))
        {
            Some(slot) => *slot.get_or_init(make),
            None => Swelling::default(),
        }
    }
}

/// Key of the random streams: temperature and life are left out, so that the hot and the cold end
/// of a use share their draws.
fn stream_key(material: &str, row: &Property, ask: &Ask) -> String {
    let lies = match select::lies(row, ask) {
        None => "",
        Some(crate::property::Lies::InPlane) => "in-plane",
        Some(crate::property::Lies::Across) => "across",
    };
    format!(
        "{material}/{}/{lies}/{}/{}/{}",
        ask.property,
        ask.face.map_or("", |f| f.word()),
        ask.moisture.word(),
        ask.counterface.as_deref().unwrap_or("")
    )
}

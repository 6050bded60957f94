//! What stops each candidate, in order, and what would help.

use super::{Missing, NothingSized, Sizing};
use crate::shaft::{Control, Met, NotFound, Remedy, limits_in_order, remedies};

/// The limits that a candidate meets as its power rises, and the cures that were worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Cures {
    /// The index of the entry that they belong to.
    pub entry: usize,
    /// The boost that the arrival is told for; `None` where no power of the candidate needs any.
    pub control: Option<Control>,
    /// The limits in the order in which they are met.
    pub met: Vec<Met>,
    /// The cures by the power they give, the car as it is before them.
    pub remedies: Vec<Remedy>,
}

impl Sizing {
    /// Works out for every entry what stops it, in order, and what would help; every report then says it. An entry of which
    /// a formula refuses something is told in [`Sizing::not_sized`].
    ///
    /// # Errors
    ///
    /// [`NothingSized`] where that is so of all entries.
    pub fn with_cures(mut self) -> Result<Self, NothingSized> {
        let mut found = Vec::new();
        let mut missed = Vec::new();
        for (index, entry) in self.entries.iter().enumerate() {
            match self.worked_out_cures(index, entry) {
                Ok(cures) => found.push(cures),
                Err(why) => missed.push(self.study.not_sized(entry.places(), Missing::Cures, why)),
            }
        }
        if found.is_empty() {
            return Err(NothingSized(missed));
        }
        self.cures = Some(found);
        self.not_sized.extend(missed);
        Ok(self)
    }

    fn worked_out_cures(&self, index: usize, entry: &super::Entry) -> Result<Cures, NotFound> {
        let study = &self.study;
        let candidate = &study.candidates[entry.candidate];
        let turbine = &candidate.housings()[entry.housing].turbine;
        let plan = &study.fuels[entry.fuel];
        let control = entry.line().map(|line| line.control);
        let plans = (plan, study.fuels.as_slice());
        let installation = &study.installation;
        Ok(Cures {
            entry: index,
            control,
            met: limits_in_order(installation, candidate, turbine, plan, &study.target)?,
            remedies: remedies(installation, candidate, turbine, plans, &study.target, control)?,
        })
    }
}

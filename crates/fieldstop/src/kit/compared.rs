//! What the person compares rigs on.

use super::Kit;
use crate::choice::Criterion;

impl Kit {
    /// What rigs are compared on, in the order of the table; all counts if nothing was said.
    pub fn criteria(&self) -> Vec<Criterion> {
        let named = |criterion: &Criterion| {
            self.compared_on.is_empty() || self.compared_on.contains(criterion)
        };
        Criterion::ALL.into_iter().filter(named).collect()
    }

    /// Takes a count in or leaves it out; the last one stays. All of them is the usual, and is not
    /// written down.
    pub fn compare_on(&mut self, criterion: Criterion, compared: bool) {
        let mut criteria = self.criteria();
        criteria.retain(|&other| other != criterion);
        if compared {
            criteria.push(criterion);
        }
        if criteria.is_empty() {
            return;
        }
        self.compared_on = criteria;
        let criteria = self.criteria();
        self.compared_on =
            if criteria.len() == Criterion::ALL.len() { Vec::new() } else { criteria };
    }
}

#[cfg(test)]
mod tests {
    use crate::choice::Criterion;
    use crate::kit::sample;

    #[test]
    fn all_counts_are_the_usual_and_leave_no_trace() {
        let mut kit = sample::kit();
        assert_eq!(kit.criteria(), Criterion::ALL);
        kit.compare_on(Criterion::Price, false);
        kit.compare_on(Criterion::Whole, false);
        assert_eq!(kit.criteria(), kit.compared_on);
        assert_eq!(kit.criteria(), Criterion::ALL[1..6]);
        kit.compare_on(Criterion::Whole, true);
        kit.compare_on(Criterion::Price, true);
        assert_eq!(kit, sample::kit());
    }

    #[test]
    fn the_last_count_stays() {
        let mut kit = sample::kit();
        for criterion in Criterion::ALL {
            kit.compare_on(criterion, false);
        }
        assert_eq!(kit.criteria(), [Criterion::Price]);
    }
}

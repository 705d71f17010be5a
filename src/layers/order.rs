//! Layer orders of a flat state: found, counted, forced, or refuted by the smallest set of facts.

use std::collections::{BTreeMap, BTreeSet};

use batsat::{BasicSolver, Lit, SolverInterface, Var, lbool};

use super::flat::{FlatState, JointFold};
pub use super::rules::RuleCounts;
use super::rules::{Literal, Pair, Rules, not};
use crate::motion::Fold;

/// Something known about the order. Facts between faces that do not overlap say nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fact {
    /// A joint is folded the way it says: for a valley `b` lies on the front of `a`.
    Fold { joint: usize },
    /// One face lies above another.
    Above { upper: usize, lower: usize },
    /// Two faces are stuck together: nothing lies between them.
    Stuck { a: usize, b: usize },
    /// A face does not lie between two others.
    Outside { a: usize, b: usize, face: usize },
    /// A face lies between two others that do not cover each other: a sheet goes on from one to the other through it.
    Between { a: usize, b: usize, face: usize },
    /// One face lies above another, unless the other facts say otherwise: then it says nothing.
    Rather { upper: usize, lower: usize },
}

/// The order of every pair of faces that overlap.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Order {
    above: BTreeMap<Pair, bool>,
}

impl Order {
    /// Whether face `i` lies above face `j`; `None` when they do not overlap.
    pub fn is_above(&self, i: usize, j: usize) -> Option<bool> {
        let first = i < j;
        self.above.get(&if first { (i, j) } else { (j, i) }).map(|&above| above == first)
    }

    /// Every overlapping pair as (upper, lower).
    pub fn pairs(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.above.iter().map(|(&(i, j), &above)| if above { (i, j) } else { (j, i) })
    }

    /// Faces lying over one another in a place, from the lowest to the highest.
    pub fn sorted(&self, faces: &[usize]) -> Vec<usize> {
        let below =
            |&i: &usize| faces.iter().filter(|&&j| i != j && self.is_above(i, j) == Some(true)).count();
        let mut sorted = faces.to_vec();
        sorted.sort_by_cached_key(below);
        sorted
    }
}

/// Orders found, and whether there are no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Orders {
    pub orders: Vec<Order>,
    pub complete: bool,
}

/// The layer problem of one flat state.
pub struct Layering<'a> {
    pub(crate) state: &'a FlatState,
    pub(crate) rules: Rules,
}

impl FlatState {
    pub fn layering(&self) -> Layering<'_> {
        Layering { state: self, rules: Rules::of(self) }
    }

    /// The folds that have a direction, as facts.
    pub fn fold_facts(&self) -> Vec<Fact> {
        let decided = |fold| matches!(fold, JointFold::Folded(Fold::Valley | Fold::Mountain));
        (0..self.joints.len())
            .filter(|&j| decided(self.joints[j].fold))
            .map(|joint| Fact::Fold { joint })
            .collect()
    }
}

impl Layering<'_> {
    pub fn counts(&self) -> RuleCounts {
        self.rules.counts
    }

    /// Pairs of faces that overlap.
    pub fn overlapping(&self) -> &[(usize, usize)] {
        &self.rules.pairs
    }

    /// An order that agrees with the facts.
    ///
    /// # Errors
    /// Indices of facts that cannot all hold, none of which can be spared. Empty when the geometry alone allows no
    /// order.
    pub fn solve(&self, facts: &[Fact]) -> Result<Order, Vec<usize>> {
        let core = match Solver::new(self).find(self, facts, &self.counted(facts)) {
            Ok(order) => return Ok(order),
            Err(core) => core,
        };
        // A fact is spared when the others contradict each other without it.
        let mut needed = core;
        let mut next = 0;
        while next < needed.len() {
            let mut fewer = needed.clone();
            fewer.remove(next);
            match Solver::new(self).find(self, facts, &fewer) {
                Err(smaller) => needed.retain(|f| smaller.contains(f)),
                Ok(_) => next += 1,
            }
        }
        Err(needed)
    }

    /// All orders that agree with the facts, up to `limit` of them.
    pub fn orders(&self, facts: &[Fact], limit: usize) -> Orders {
        let every: Vec<usize> = (0..self.rules.pairs.len()).collect();
        self.distinct(facts, &every, limit)
    }

    /// How many ways of folding the joints given have an order, up to `limit`.
    pub fn count_folds(&self, facts: &[Fact], joints: &[usize], limit: usize) -> usize {
        let variable =
            |&j: &usize| self.rules.above(self.state.joints[j].a, self.state.joints[j].b).map(|l| l.0);
        let variables: Vec<usize> = joints.iter().filter_map(variable).collect();
        self.distinct(facts, &variables, limit).orders.len()
    }

    /// Orders that differ in the given variables.
    fn distinct(&self, facts: &[Fact], variables: &[usize], limit: usize) -> Orders {
        let mut solver = Solver::new(self);
        let all = self.counted(facts);
        let mut orders = Vec::new();
        while let Ok(order) = solver.find(self, facts, &all) {
            if orders.len() == limit {
                return Orders { orders, complete: false };
            }
            let other = self.differs(&order, variables);
            orders.push(order);
            if other.is_empty() {
                break;
            }
            solver.require(&other, None);
        }
        orders.sort();
        Orders { orders, complete: true }
    }

    /// Another order that agrees with the facts; `None` when this is the only one.
    pub(super) fn other_than(&self, facts: &[Fact], order: &Order) -> Option<Order> {
        let every: Vec<usize> = (0..self.rules.pairs.len()).collect();
        let all = self.counted(facts);
        let differs = self.differs(order, &every);
        if differs.is_empty() {
            return None;
        }
        let mut solver = Solver::new(self);
        solver.require(&differs, None);
        solver.find(self, facts, &all).ok()
    }

    /// The clause that some of the variables are not as in an order.
    fn differs(&self, order: &Order, variables: &[usize]) -> Vec<Literal> {
        let value = |&v: &usize| (v, order.above.get(&self.rules.pairs[v]).copied().unwrap_or(false));
        variables.iter().map(value).map(not).collect()
    }

    /// Pairs (upper, lower) that lie this way in every order. Empty when there is no order.
    pub fn forced(&self, facts: &[Fact]) -> Vec<(usize, usize)> {
        let all = self.counted(facts);
        let mut solver = Solver::with_rings(self);
        let Ok(order) = solver.attempt(self, facts, &all) else { return Vec::new() };
        let mut forced: Vec<_> = order
            .pairs()
            .filter(|&(upper, lower)| {
                let Some(literal) = self.rules.above(lower, upper) else { return false };
                solver.holds(literal, &all).is_none()
            })
            .collect();
        forced.sort_unstable();
        forced
    }

    /// The facts that are to hold: all that are firm, and of the others, one after another, those that go with them.
    fn counted(&self, facts: &[Fact]) -> Vec<usize> {
        let is_firm = |f: &usize| !matches!(facts.get(*f), Some(Fact::Rather { .. }));
        let (mut counted, soft): (Vec<usize>, Vec<usize>) = (0..facts.len()).partition(is_firm);
        if soft.is_empty() {
            return counted;
        }
        let mut solver = Solver::new(self);
        for fact in soft {
            counted.push(fact);
            if solver.find(self, facts, &counted).is_err() {
                counted.pop();
            }
        }
        counted.sort_unstable();
        counted
    }

    /// The clauses a fact stands for.
    fn clauses(&self, fact: Fact) -> Vec<Vec<Literal>> {
        let one = |literal: Option<Literal>| literal.map(|l| vec![l]).into_iter().collect();
        match fact {
            Fact::Above { upper, lower } | Fact::Rather { upper, lower } => {
                one(self.rules.above(upper, lower))
            }
            Fact::Stuck { a, b } => {
                let others = self.over_both(a, b).into_iter();
                others.filter_map(|k| self.rules.not_between(a, b, k)).flatten().collect()
            }
            Fact::Outside { a, b, face } => {
                self.rules.not_between(a, b, face).into_iter().flatten().collect()
            }
            Fact::Between { a, b, face } => {
                let (Some(over_a), Some(over_b)) = (self.rules.above(a, face), self.rules.above(b, face))
                else {
                    return Vec::new();
                };
                vec![vec![over_a, over_b], vec![not(over_a), not(over_b)]]
            }
            Fact::Fold { joint } => {
                let Some(joint) = self.state.joints.get(joint) else { return Vec::new() };
                let rises = match joint.fold {
                    JointFold::Folded(Fold::Valley) => self.state.faces[joint.a].up,
                    JointFold::Folded(Fold::Mountain) => !self.state.faces[joint.a].up,
                    _ => return Vec::new(),
                };
                one(if rises {
                    self.rules.above(joint.b, joint.a)
                } else {
                    self.rules.above(joint.a, joint.b)
                })
            }
        }
    }

    /// The faces that have a place in common with both.
    fn over_both(&self, a: usize, b: usize) -> BTreeSet<usize> {
        let (of_a, of_b) = (self.rules.cells_of(a), self.rules.cells_of(b));
        let (fewer, other) = if of_a.len() < of_b.len() { (of_a, b) } else { (of_b, a) };
        let cells = fewer.iter().filter_map(|&cell| self.rules.cells.wide.get(cell));
        let cells = cells.filter(|cell| cell.covered_by.binary_search(&other).is_ok());
        let mut faces: BTreeSet<usize> = cells.flat_map(|cell| cell.covered_by.iter().copied()).collect();
        faces.retain(|f| *f != a && *f != b);
        faces
    }
}

/// One satisfiability solver: pair variables first, then one switch for each fact.
struct Solver {
    solver: BasicSolver,
    variables: Vec<Var>,
    switches: Vec<Var>,
    /// The clause being added.
    clause: Vec<Lit>,
    /// It was told no rings: they are told as orders close them.
    lazy: bool,
}

/// From so many rings on, only those that an order would close are told to the solver.
const MANY_RINGS: usize = 20_000;
/// Orders with closed rings that are looked at before all rings are told.
const MOST_LOOKS: usize = 40;

impl Solver {
    /// Told every rule, or all but the rings where these are many.
    fn new(layering: &Layering<'_>) -> Self {
        if layering.rules.rings.len() > MANY_RINGS {
            Self { lazy: true, ..Self::without_rings(layering) }
        } else {
            Self::with_rings(layering)
        }
    }

    fn with_rings(layering: &Layering<'_>) -> Self {
        let mut this = Self::without_rings(layering);
        this.require_rings(&layering.rules.rings);
        this
    }

    /// An order under the chosen facts; gives those to blame when they contradict each other.
    fn find(
        &mut self,
        layering: &Layering<'_>,
        facts: &[Fact],
        chosen: &[usize],
    ) -> Result<Order, Vec<usize>> {
        if self.lazy {
            self.attempt_with_rings(layering, facts, chosen)
        } else {
            self.attempt(layering, facts, chosen)
        }
    }

    /// Knows all rules but that no ring of three faces is closed.
    fn without_rings(layering: &Layering<'_>) -> Self {
        let mut solver = BasicSolver::default();
        let variables = layering.rules.pairs.iter().map(|_| solver.new_var_default()).collect();
        let mut this = Self { solver, variables, switches: Vec::new(), clause: Vec::new(), lazy: false };
        for clause in &layering.rules.clauses {
            this.require(clause, None);
        }
        this
    }

    fn require_rings(&mut self, rings: &[[Literal; 3]]) {
        for ring in rings {
            self.require(ring, None);
            self.require(&ring.map(not), None);
        }
    }

    /// As [`Solver::attempt`], for a solver that was told no rings: those that its order closes are told it until none
    /// is. Facts that contradict each other without the rings do so with them.
    fn attempt_with_rings(
        &mut self,
        layering: &Layering<'_>,
        facts: &[Fact],
        chosen: &[usize],
    ) -> Result<Order, Vec<usize>> {
        for _ in 0..MOST_LOOKS {
            let order = self.attempt(layering, facts, chosen)?;
            let holds = |&(variable, value): &Literal| {
                let is_true = |v: &Var| self.solver.value_var(*v) == lbool::TRUE;
                self.variables.get(variable).map(is_true) == Some(value)
            };
            let is_closed = |ring: &&[Literal; 3]| {
                let first = ring.first().is_some_and(holds);
                ring.iter().all(|literal| holds(literal) == first)
            };
            let closed: Vec<[Literal; 3]> = layering.rules.rings.iter().filter(is_closed).copied().collect();
            if closed.is_empty() {
                return Ok(order);
            }
            self.require_rings(&closed);
        }
        self.require_rings(&layering.rules.rings);
        self.attempt(layering, facts, chosen)
    }

    fn literal(&self, (variable, value): Literal) -> Lit {
        Lit::new(self.variables[variable], value)
    }

    fn require(&mut self, clause: &[Literal], switch: Option<Var>) {
        let mut lits = std::mem::take(&mut self.clause);
        lits.clear();
        lits.extend(clause.iter().map(|&l| self.literal(l)));
        lits.extend(switch.map(|s| Lit::new(s, false)));
        self.solver.add_clause_reuse(&mut lits);
        self.clause = lits;
    }

    /// Solves under the chosen facts; gives those to blame when they contradict each other.
    fn attempt(
        &mut self,
        layering: &Layering<'_>,
        facts: &[Fact],
        chosen: &[usize],
    ) -> Result<Order, Vec<usize>> {
        while self.switches.len() < facts.len() {
            let switch = self.solver.new_var_default();
            for clause in layering.clauses(facts[self.switches.len()]) {
                self.require(&clause, Some(switch));
            }
            self.switches.push(switch);
        }
        let on: Vec<Lit> = chosen.iter().map(|&f| Lit::new(self.switches[f], true)).collect();
        if self.solver.solve_limited(&on) == lbool::TRUE {
            return Ok(self.order(layering));
        }
        let blamed = |f: &usize| self.solver.unsat_core_contains_var(self.switches[*f]);
        Err(chosen.iter().copied().filter(blamed).collect())
    }

    /// Solves under the chosen facts, which were told before, and one more literal.
    fn holds(&mut self, literal: Literal, facts: &[usize]) -> Option<()> {
        let mut on: Vec<Lit> = facts.iter().map(|&f| Lit::new(self.switches[f], true)).collect();
        on.push(self.literal(literal));
        (self.solver.solve_limited(&on) == lbool::TRUE).then_some(())
    }

    fn order(&self, layering: &Layering<'_>) -> Order {
        let value = |v: &Var| self.solver.value_var(*v) == lbool::TRUE;
        let values = self.variables.iter().map(value);
        Order { above: layering.rules.pairs.iter().copied().zip(values).collect() }
    }
}

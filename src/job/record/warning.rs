//! What the technician should know: the kinds of warnings, and a warning.

use crate::keys::worded::worded;
use serde::ser::{Serialize, SerializeStruct, Serializer};

worded! {
    /// What a warning is about.
    pub enum WarningKind {
        /// The supply holds too little for the job.
        SupplyRanDry = "supply ran dry",
        /// Air comes down to an outlet of the reservoir, and would be pressed into the circuit.
        AirReachesAnOutlet = "air reaches an outlet",
        /// The reservoir was drawn empty down to its outlets.
        OutletsDrawnBare = "outlets drawn bare",
        /// The supply stands above the vehicle's limit.
        PressureOverLimit = "pressure over limit",
        /// At a bleeder nothing flows.
        NoFlow = "no flow",
        /// A bleeder does not run clean before its upper bound.
        TargetNotReached = "target not reached",
        /// A bleeder was closed by volume or time with old fluid still to be seen.
        ClosedWhileDirty = "closed while dirty",
        /// A bleeder was closed as clean, and its path is not.
        NotCleanOnThePath = "not clean on the path",
        /// No pressure is left in the vessel of a pressure bleeder.
        GaugeBelowZero = "gauge below zero",
        /// A step has nothing to act on with this supply.
        StepWithoutEffect = "step without effect",
        /// The reservoir ends above its mark.
        ReservoirAboveMax = "reservoir above MAX",
        /// The reservoir begins or ends below its mark.
        ReservoirBelowMin = "reservoir below MIN",
        /// A valve's state is to be known before the flush.
        StateOfAValve = "state of a valve",
        /// A vacuum draws air past the bleeder's threads.
        AirPastTheThreads = "air past the threads",
        /// A part was replaced, and holds air until it is bled.
        AirInAReplacedPart = "air in a replaced part",
        /// The procedure leaves bleeders shut.
        NeverOpened = "never opened",
        /// No volume drained at the bleeders removes some fluid.
        NoBleederReaches = "no bleeder reaches",
        /// Fluid stays so long in a line that it mixes across it.
        SlowFlow = "slow flow",
        /// The heavier fluid can sink under the lighter one.
        DensitiesDiffer = "old and new differ in density",
        /// The computation's own error is more than promised.
        LessExact = "less exact than usual",
        /// A value that no vehicle or shop usually has.
        Unusual = "unusual",
        /// Nothing says how far the pads are worn, and it changes what the brakes hold.
        WearNotStated = "wear not stated",
        /// Hardly anything pushes any more.
        GaugeFallsLow = "gauge falls low",
        /// A line's bore is what tube usually measures outside.
        BoreOrOutside = "bore or outside diameter?",
        /// Pads are worn, and nothing says what that changes.
        WearWithoutEffect = "wear without effect",
        /// A key that means nothing beside another as it is written.
        KeyWithoutEffect = "key without effect",
        /// What presses is too weak for the accumulators of a modulator that is worked.
        AccumulatorStaysShut = "accumulator stays shut",
        /// A modulator's pump draws harder than fluid can follow.
        PumpStarved = "pump starved",
        /// The stated split is not what the parts are joined to.
        SplitAndPartsDiffer = "split and parts differ",
        /// More pressure than shops use, and no limit is stated.
        HighPressure = "high pressure",
        /// New fluid with more water than a sealed can holds.
        WetNewFluid = "wet new fluid",
        /// New fluid of a grade that boils lower.
        LowerGrade = "lower grade",
        /// Flow in a line may turn turbulent.
        BeyondLaminarFlow = "beyond laminar flow",
        /// A bleeder stays open for longer than anybody waits.
        TakesHours = "takes hours",
        /// Of several orders: the load is not enough for some.
        SupplyRunsDry = "supply runs dry",
        /// Of several orders: some end with a warning that stops the job.
        NotToBeDoneAsWritten = "not to be done as written",
    }
}

impl WarningKind {
    /// Whether a job with such a warning must be stopped or judged a failure.
    pub fn stops_the_job(self) -> bool {
        matches!(
            self,
            Self::SupplyRanDry
                | Self::AirReachesAnOutlet
                | Self::PressureOverLimit
                | Self::NoFlow
                | Self::TargetNotReached
        )
    }
}

/// Something the technician should know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// What it is about.
    pub kind: WarningKind,
    /// One or two sentences with the figures and the remedy.
    pub text: String,
}

impl Warning {
    /// A warning.
    pub fn new(kind: WarningKind, text: String) -> Self {
        Self { kind, text }
    }

    /// True if the job must be stopped or judged a failure (exit status 3): its kind says so.
    pub fn stops_the_job(&self) -> bool {
        self.kind.stops_the_job()
    }
}

impl Serialize for Warning {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Warning", 3)?;
        out.serialize_field("kind", &self.kind)?;
        out.serialize_field("text", &self.text)?;
        out.serialize_field("stops_the_job", &self.stops_the_job())?;
        out.end()
    }
}

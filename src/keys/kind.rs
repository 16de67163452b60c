//! Kinds of parts and supplies.

/// How a part kind joins its neighbours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Fluid runs through it from one end to the other (line, hose, valve): `from`, and `to` where
    /// it closes a loop.
    Through,
    /// A chamber or branching: `from` one or several parts; others may start from it.
    Node,
}

/// What something is to a brake system, whatever its kind is called. Each kind states it once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The reservoir.
    Reservoir,
    /// A chamber of the master cylinder.
    MasterCylinder,
    /// A hydraulic modulator.
    Modulator,
    /// A caliper, or one half of one.
    Caliper,
    /// A caliper of two halves, which is a loop in itself.
    HalvedCaliper,
    /// A drum brake's wheel cylinder.
    WheelCylinder,
    /// The master cylinder of a clutch.
    ClutchMaster,
    /// The slave cylinder of a clutch.
    ClutchSlave,
    /// A rigid line.
    Line,
    /// A hose.
    Hose,
    /// A valve in a line.
    Valve,
    /// A tee, a block or a plain chamber, where paths meet.
    Tee,
    /// The place where a line or hose ends, with no part of its own.
    Joint,
}

impl Role {
    /// Whether it brakes a wheel.
    pub fn is_service_brake(self) -> bool {
        matches!(self, Self::Caliper | Self::HalvedCaliper | Self::WheelCylinder)
    }
}

/// What a kind of part or supply is called.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Called {
    /// The word written after `kind =`.
    pub name: &'static str,
    /// One sentence: what it is. Shown by `schema`.
    pub doc: &'static str,
    /// Other words for it, read as the first.
    pub also: &'static [&'static str],
    /// Words that people write for it and that leave open what is meant; each with what else is to be known before the
    /// right one is chosen, if anything. They are answered, not read.
    pub near: &'static [(&'static str, &'static str)],
}

/// What a part kind is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KindSpec {
    /// The word written after `kind =`.
    pub name: &'static str,
    /// One sentence: what it is. Shown by `schema`.
    pub doc: &'static str,
    /// As in [`Called`].
    pub also: &'static [&'static str],
    /// As in [`Called`].
    pub near: &'static [(&'static str, &'static str)],
    /// How it joins its neighbours.
    pub ends: Ends,
    /// What it is to the brake system.
    pub role: Role,
    /// True if a bleeder sits on it (it then takes the key `bleeders` too).
    pub bleeds: bool,
}

impl KindSpec {
    /// A kind that fluid runs through.
    pub const fn through(name: &'static str, role: Role, doc: &'static str) -> Self {
        Self { name, doc, also: &[], near: &[], ends: Ends::Through, role, bleeds: false }
    }

    /// A kind where paths meet or end.
    pub const fn node(name: &'static str, role: Role, doc: &'static str) -> Self {
        Self { name, doc, also: &[], near: &[], ends: Ends::Node, role, bleeds: false }
    }

    /// The same with a bleeder on it.
    pub const fn with_bleeder(self) -> Self {
        Self { bleeds: true, ..self }
    }

    /// The same with other words for it (common practice, no source).
    pub const fn also(self, also: &'static [&'static str]) -> Self {
        Self { also, ..self }
    }

    /// The same with words that come near it (common practice, no source).
    pub const fn near(self, near: &'static [(&'static str, &'static str)]) -> Self {
        Self { near, ..self }
    }

    /// What it is called.
    pub fn called(&self) -> Called {
        Called { name: self.name, doc: self.doc, also: self.also, near: self.near }
    }
}

/// Lists the kinds of parts or of supplies: an enum with a variant for each kind's table, `all()` with a blank one of
/// each, and the trait of a kind to reach through.
macro_rules! kinds {
    ($(#[$meta:meta])* pub enum $name:ident: $of:ident { $($kind:ident($table:ty),)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq)]
        #[allow(missing_docs, reason = "each kind's table says what it is")]
        pub enum $name { $($kind($table),)+ }

        impl $name {
            /// A blank table of every kind.
            pub fn all() -> &'static [Self] {
                static ALL: std::sync::LazyLock<Vec<$name>> =
                    std::sync::LazyLock::new(|| vec![$($name::$kind(Default::default()),)+]);
                &ALL
            }
        }

        impl std::ops::Deref for $name {
            type Target = dyn $of;

            fn deref(&self) -> &(dyn $of + 'static) {
                match self { $(Self::$kind(table) => table,)+ }
            }
        }

        impl std::ops::DerefMut for $name {
            fn deref_mut(&mut self) -> &mut (dyn $of + 'static) {
                match self { $(Self::$kind(table) => table,)+ }
            }
        }
    };
}
pub(crate) use kinds;

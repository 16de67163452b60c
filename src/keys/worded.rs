//! Enums whose variants are told by a word, the same in scenarios, JSON and tables.

/// A choice among words, as a key of a table may hold it.
pub trait Word {
    /// The words there are.
    fn all(&self) -> &'static [&'static str];
    /// Other words for them, each with the one it stands for.
    fn also(&self) -> &'static [(&'static str, &'static str)] {
        &[]
    }
    /// Takes the one with this index.
    fn choose(&mut self, index: usize);
}

impl<W: Word + Default> Word for Option<W> {
    fn all(&self) -> &'static [&'static str] {
        W::default().all()
    }

    fn also(&self) -> &'static [(&'static str, &'static str)] {
        W::default().also()
    }

    fn choose(&mut self, index: usize) {
        self.get_or_insert_default().choose(index);
    }
}

/// Defines such an enum, each variant beside its word, behind `|` others that a scenario may have for it.
macro_rules! worded {
    ($(#[$of_enum:meta])* pub enum $name:ident {
        $($(#[$of_variant:meta])* $variant:ident = $word:literal $(| $also:literal)*,)+
    }) => {
        $(#[$of_enum])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        #[non_exhaustive]
        pub enum $name {
            $($(#[$of_variant])* $variant,)+
        }

        impl $name {
            /// What JSON and tables call it.
            pub fn words(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)+
                }
            }
        }

        /// The first, which stands there before anything is read.
        impl Default for $name {
            fn default() -> Self {
                [$(Self::$variant),+][0]
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.words())
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.serialize_str(self.words())
            }
        }

        impl $crate::keys::worded::Word for $name {
            fn all(&self) -> &'static [&'static str] {
                &[$($word),+]
            }

            fn also(&self) -> &'static [(&'static str, &'static str)] {
                &[$($(($also, $word),)*)+]
            }

            fn choose(&mut self, index: usize) {
                *self = [$(Self::$variant),+][index];
            }
        }
    };
}

pub(crate) use worded;

//! Enums whose variants are told by a word, the same in JSON and in tables.

/// Defines such an enum, each variant beside its word.
macro_rules! worded {
    ($(#[$of_enum:meta])* pub enum $name:ident {
        $($(#[$of_variant:meta])* $variant:ident = $word:literal,)+
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
    };
}

pub(super) use worded;

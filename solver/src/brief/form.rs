//! One declaration for every table of a brief: it drives the reader, the suggestions, the columns of
//! spreadsheets and the JSON Schema, so that they cannot drift apart.

use super::reader::{Path, Reader};
use super::tree::Node;

/// A type that can be read from a tree and that knows its form.
pub(crate) trait Read: Sized {
    /// What may be written for it.
    fn form() -> Form;

    /// Reads it. `None` means that a finding says why not.
    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self>;
}

/// What may be written for a value.
pub(crate) enum Form {
    /// Any text.
    Text,
    /// A length: a number in the brief's unit, or a text with a unit.
    Length,
    /// A volume: a text with a unit, or a number in the brief's unit, cubed.
    Volume,
    /// A mass: a text with a unit.
    Mass,
    /// A whole number within these, both included.
    Whole(i64, i64),
    /// A decimal number within these, both included.
    Number(&'static str, &'static str),
    /// `true` or `false`.
    Truth,
    /// One of these words, each with its meaning.
    Words(&'static [(&'static str, &'static str)]),
    /// A list of at least so many and at most so many of one form.
    List(Box<Form>, usize, usize),
    /// A list of exactly these.
    Tuple(Vec<Form>),
    /// A table with these keys.
    Table(TableForm),
    /// Any of these.
    Either(Vec<Form>),
}

/// A table's form.
#[derive(Clone, Copy)]
pub(crate) struct TableForm {
    /// Name in the schema's definitions, such as `tray`.
    pub(crate) name: &'static str,
    /// What it is.
    pub(crate) about: &'static str,
    /// Its keys.
    pub(crate) keys: fn() -> &'static [Key],
}

/// One key of a table.
#[derive(Clone, Copy)]
pub(crate) struct Key {
    /// As it is written.
    pub(crate) name: &'static str,
    /// What it means, with its unit and default.
    pub(crate) about: &'static str,
    /// Must it be there?
    pub(crate) needed: bool,
    /// What may be written.
    pub(crate) form: fn() -> Form,
}

/// The first sentence of a description, which is what fits into a finding.
pub(crate) fn first_sentence(about: &str) -> String {
    let about = about.trim();
    let end = about.find(". ").map_or(about.len(), |i| i + 1);
    let sentence = about.get(..end).unwrap_or(about);
    if sentence.ends_with('.') { sentence.to_owned() } else { format!("{sentence}.") }
}

/// Declares a table: its struct, its reader and its form.
///
/// `field` is also the key unless `= "key"` names another; `needed` marks a key that must be there.
macro_rules! table {
    ($(#[doc = $about:literal])+ struct $name:ident is $what:literal {
        $( $(#[doc = $doc:literal])+ $field:ident $(= $key:literal)? : $ty:ty $(, $needed:ident)?; )+
    }) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug)]
        pub(crate) struct $name {
            $( $(#[doc = $doc])+ pub(crate) $field: $crate::brief::reader::Field<$ty>, )+
            /// Where the whole table stands.
            #[allow(dead_code, reason = "every table knows its place; not every one is ever pointed at")]
            pub(crate) spot: $crate::brief::sources::Spot,
        }

        impl $name {
            /// Its keys.
            pub(crate) const KEYS: &'static [$crate::brief::form::Key] = &[
                $( $crate::brief::form::Key {
                    name: table!(@key $field $($key)?),
                    about: concat!($($doc),+),
                    needed: table!(@needed $($needed)?),
                    form: <$ty as $crate::brief::form::Read>::form,
                } ),+
            ];
        }

        impl $crate::brief::form::Read for $name {
            fn form() -> $crate::brief::form::Form {
                $crate::brief::form::Form::Table($crate::brief::form::TableForm {
                    name: $what,
                    about: concat!($($about),+),
                    keys: || $name::KEYS,
                })
            }

            fn read(
                node: &$crate::brief::tree::Node,
                path: &$crate::brief::reader::Path,
                reader: &mut $crate::brief::reader::Reader<'_>,
            ) -> Option<Self> {
                let table = reader.table(node, path, Self::KEYS, concat!("the table of ", $what))?;
                Some($name {
                    $( $field: $crate::brief::reader::Field::read(
                        table, table!(@key $field $($key)?), path, reader), )+
                    spot: $crate::brief::sources::Spot { span: node.span, path: path.text().to_owned() },
                })
            }
        }
    };
    (@key $field:ident) => { stringify!($field) };
    (@key $field:ident $key:literal) => { $key };
    (@needed) => { false };
    (@needed needed) => { true };
}
pub(crate) use table;

/// Declares how the words of a choice are written, each with its meaning.
macro_rules! words {
    ($ty:ty, $what:literal { $( $word:literal => $value:expr, $about:literal; )+ }) => {
        impl $crate::brief::form::Read for $ty {
            fn form() -> $crate::brief::form::Form {
                $crate::brief::form::Form::Words(&[$(($word, $about)),+])
            }

            fn read(
                node: &$crate::brief::tree::Node,
                path: &$crate::brief::reader::Path,
                reader: &mut $crate::brief::reader::Reader<'_>,
            ) -> Option<Self> {
                let word = $crate::brief::value::word(node, path, reader, $what)?;
                match word {
                    $( $word => Some($value), )+
                    _ => {
                        $crate::brief::value::unknown_word(word, &[$($word),+], node, path, reader, $what);
                        None
                    }
                }
            }
        }
    };
}
pub(crate) use words;

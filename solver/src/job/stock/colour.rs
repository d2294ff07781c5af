//! Colours of lines, for machines that tell operations by colour. Which means what is for the maker to say.

/// A colour that both kinds of files know.
///
/// ```
/// use traywright::job::Colour;
/// let told = Colour::ALL.map(|c| (c.name(), c.hex(), c.index()));
/// assert_eq!((told[0], told[1]), (("black", "#000", 7), ("red", "#f00", 1)));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Colour {
    /// Black; on a black screen, DXF shows it white.
    #[default]
    Black,
    /// Red.
    Red,
    /// Yellow.
    Yellow,
    /// Green.
    Green,
    /// Cyan.
    Cyan,
    /// Blue.
    Blue,
    /// Magenta.
    Magenta,
}

impl Colour {
    /// All of them.
    ///
    /// ```
    /// use traywright::job::Colour;
    /// assert_eq!(Colour::ALL[0], Colour::default());
    /// ```
    pub const ALL: [Colour; 7] = [
        Colour::Black,
        Colour::Red,
        Colour::Yellow,
        Colour::Green,
        Colour::Cyan,
        Colour::Blue,
        Colour::Magenta,
    ];

    /// As briefs name it.
    ///
    /// ```
    /// use traywright::job::Colour;
    /// assert_eq!(Colour::Cyan.name(), "cyan");
    /// ```
    pub fn name(self) -> &'static str {
        match self {
            Colour::Black => "black",
            Colour::Red => "red",
            Colour::Yellow => "yellow",
            Colour::Green => "green",
            Colour::Cyan => "cyan",
            Colour::Blue => "blue",
            Colour::Magenta => "magenta",
        }
    }

    /// As SVG writes it, each part full or none.
    ///
    /// ```
    /// use traywright::job::Colour;
    /// assert_eq!(Colour::Magenta.hex(), "#f0f");
    /// ```
    pub fn hex(self) -> &'static str {
        match self {
            Colour::Black => "#000",
            Colour::Red => "#f00",
            Colour::Yellow => "#ff0",
            Colour::Green => "#0f0",
            Colour::Cyan => "#0ff",
            Colour::Blue => "#00f",
            Colour::Magenta => "#f0f",
        }
    }

    /// As DXF numbers it (group 62 of the DXF reference, from memory).
    ///
    /// ```
    /// use traywright::job::Colour;
    /// assert_eq!(Colour::Blue.index(), 5);
    /// ```
    pub fn index(self) -> u8 {
        match self {
            Colour::Black => 7,
            Colour::Red => 1,
            Colour::Yellow => 2,
            Colour::Green => 3,
            Colour::Cyan => 4,
            Colour::Blue => 5,
            Colour::Magenta => 6,
        }
    }
}

/// The colour of each operation's lines; black where nothing is said.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let change = [("stock.colours".to_owned(), "{ outlines = \"red\" }".to_owned())];
/// # let job = job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap();
/// use traywright::job::{Colour, Colours};
/// let colours = job.stock.colours; // colours = { outlines = "red" }
/// assert_eq!(colours, Colours { outlines: Colour::Red, ..Colours::default() });
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Colours {
    /// Of names.
    pub names: Colour,
    /// Of recesses from above.
    pub recesses: Colour,
    /// Of recesses from below.
    pub recesses_from_below: Colour,
    /// Of openings.
    pub openings: Colour,
    /// Of cuts from edge to edge.
    pub edge_to_edge: Colour,
    /// Of outlines.
    pub outlines: Colour,
}

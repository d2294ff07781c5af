//! How many more of a part would go into a room.

use super::{Alternative, MoreStep, Need, Space, Standing};
use crate::job::Stand;
use crate::length::{LONGEST, Length, Volume};

/// Far more bodies than go into any room; three such numbers still multiply safely.
const MOST_IN_LINE: i128 = 1_000_000_000_000;

/// How many more, in units of [`More::of`](super::More), go into a clear room `w` × `d` × `u` beyond
/// what the need holds (wanted spare ones included), standing as `alternative` says (same standing,
/// lean and number of piles; bodies turned the same way), with the room turned or not as `turned` says.
///
/// Exact: the need of so many more still goes in, that of one more does not. 0 where the need itself
/// does not go in.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let cards = "{ face = [63.5, 88.9], count = 54, each = 0.3, stand = [\"flat\"] }";
/// # let change = [("part.weather cards.stack".to_owned(), cards.to_owned())];
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &change).unwrap();
/// use traywright::{length::Length, need::{more, of}};
/// // 54 cards of 0.3 mm are 16.2 mm high.
/// let need = of(&job.trays[1].parts[0]);
/// let within = |um| {
///     more(&need, &need.alternatives[0], Length::mm(70), Length::mm(90), Length::um(um), false)
/// };
/// assert_eq!([within(17_100), within(17_099), within(16_199)], [3, 2, 0]);
/// ```
pub fn more(need: &Need, alternative: &Alternative, w: Length, d: Length, u: Length, turned: bool) -> i64 {
    // No room is longer; within this nothing below can overflow.
    let [w, d, u] = [w, d, u].map(|side| side.clamp(Length::ZERO, LONGEST));
    if !alternative.space.fits(w, d, u, turned) {
        return 0;
    }
    let (w, d) = if turned { (d, w) } else { (w, d) };
    let more = match (need.more.step, alternative.space) {
        (MoreStep::Bulk { one, held, level }, Space::Soft { .. }) => {
            // (held + n · one) / level ≤ w · d · u
            let thousand = |bulk: Volume| bulk.nm3() * 1000;
            ((w * d * u).nm3() * i128::from(level) - thousand(held)) / thousand(one).max(1)
        }
        (MoreStep::Piece(pieces), Space::Fixed { d: least, .. }) => {
            let piles = i128::from(alternative.piles.max(1));
            let in_one = (i128::from(pieces.held) + piles - 1) / piles;
            let most = match alternative.standing {
                Standing::Stacked(Stand::Flat, _) => pieces.within(i128::from(u.nm())),
                Standing::Stacked(_, degrees) => {
                    let row = pieces.row(i64::try_from(in_one).unwrap_or(i64::MAX), degrees);
                    let overhang = i128::from(least.nm()) - row;
                    pieces.within_row(i128::from(d.nm()) - overhang, degrees)
                }
                _ => 0,
            };
            (piles * most - i128::from(pieces.held)) / i128::from(pieces.term.max(1))
        }
        (MoreStep::Body { held, ease, pile }, Space::Fixed { w: bw, d: bd, h: bh }) => {
            let Standing::Block(nx, ny, nz) = alternative.standing else { return 0 };
            // So many of these bodies in a line: one body is (block − ease) / n long.
            let line = |room: Length, block: Length, ease: Length, n: i64| {
                let [room, block, ease] = [room, block, ease].map(|l| i128::from(l.nm()));
                ((room - ease) * i128::from(n) / (block - ease).max(1)).clamp(0, MOST_IN_LINE)
            };
            let high = if pile { line(u, bh, Length::ZERO, nz) } else { 1 };
            line(w, bw, ease, nx) * line(d, bd, ease, ny) * high - i128::from(held)
        }
        _ => 0,
    };
    i64::try_from(more).unwrap_or(i64::MAX).max(0)
}

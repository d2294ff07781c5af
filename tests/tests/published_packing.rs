//! Published packings: what general rectangle packing is known to reach, and to be unable to.

use traywright::layout::pack::{Floor, Packed, Piece, Rect, Spot, cannot_fit, least_box, pack};
use traywright::stop::Stop;

fn fixed(sizes: &[(i64, i64)]) -> Vec<Piece> {
    sizes.iter().map(|&s| Piece { shapes: vec![s], ..Piece::default() }).collect()
}

fn squares(sides: impl IntoIterator<Item = i64>) -> Vec<Piece> {
    fixed(&sides.into_iter().map(|s| (s, s)).collect::<Vec<_>>())
}

/// Inside the floor, and no two share area: counted cell by cell.
fn area_covered_once(floor: &Floor, pieces: &[Piece], spots: &[Spot]) -> Option<i64> {
    assert_eq!(pieces.len(), spots.len());
    let mut cells = vec![0; (floor.w * floor.d) as usize];
    for (piece, spot) in pieces.iter().zip(spots) {
        let (w, d) = piece.shapes[spot.shape];
        for y in spot.y..spot.y + d {
            for x in spot.x..spot.x + w {
                if !(0..floor.w).contains(&x) || !(0..floor.d).contains(&y) {
                    return None;
                }
                cells[(y * floor.w + x) as usize] += 1;
            }
        }
    }
    cells.iter().all(|c| *c <= 1).then(|| cells.iter().sum())
}

/// Korf, ICAPS 2004; Huang & Korf, IJCAI 2009; areas OEIS A038666.
#[test]
fn smallest_boxes_for_consecutive_squares() {
    let areas = [1, 6, 15, 35, 60, 99, 154, 210, 300, 405, 513, 667, 836];
    for (n, area) in (1..).zip(areas) {
        let pieces = squares(1..=n);
        let least = least_box(&pieces, &Stop::never()).unwrap();
        assert_eq!(least.w * least.d, area, "squares 1 to {n}: {}x{}", least.w, least.d);
        let floor = Floor { w: least.w, d: least.d, ..Floor::default() };
        let covered = area_covered_once(&floor, &pieces, &least.spots);
        assert_eq!(covered, Some((1..=n).map(|k| k * k).sum()));
    }
}

/// Perfect squared rectangles of orders 9 and 10 (definitions at squaring.net): no waste at all.
#[test]
fn squared_rectangles_without_waste() {
    for (w, d, sides) in
        [(33, 32, &[18, 15, 14, 10, 9, 8, 7, 4, 1][..]), (65, 47, &[25, 24, 23, 22, 19, 17, 11, 6, 5, 3][..])]
    {
        let floor = Floor { w, d, ..Floor::default() };
        let pieces = squares(sides.iter().copied());
        let Packed::Found(spots) = pack(&floor, &pieces, &Stop::never()) else { panic!("{w} x {d}") };
        assert_eq!(area_covered_once(&floor, &pieces, &spots), Some(w * d));
        // A strip less on either side, and the area alone says no.
        assert!(cannot_fit(&Floor { w: w - 1, d, ..Floor::default() }, &pieces));
    }
}

/// The squared square of order 21 (Duijvestijn, J. Combin. Theory B 25, 1978) from its Bouwkamp code, which
/// lists squares in the highest gap, from left to right: this reads the code and checks the test's own counting.
#[test]
fn the_squared_square_of_order_21() {
    let code: [&[i64]; 9] =
        [&[50, 35, 27], &[8, 19], &[15, 17, 11], &[6, 24], &[29, 25, 9, 2], &[7, 18], &[16], &[42], &[4, 37]];
    let sides: Vec<i64> = code.iter().flat_map(|g| g.iter().copied()).chain([33]).collect();
    assert_eq!(sides.len(), 21);
    let mut line = vec![0i64; 112];
    let mut spots = Vec::new();
    for &side in &sides {
        let y = *line.iter().min().unwrap();
        let x = line.iter().position(|l| *l == y).unwrap();
        assert!(line[x..x + side as usize].iter().all(|l| *l == y), "square {side} lies level");
        line[x..x + side as usize].fill(y + side);
        spots.push(Spot { shape: 0, x: x as i64, y });
    }
    let floor = Floor { w: 112, d: 112, ..Floor::default() };
    assert_eq!(area_covered_once(&floor, &squares(sides.iter().copied()), &spots), Some(112 * 112));
    spots[20].x -= 1;
    assert_eq!(area_covered_once(&floor, &squares(sides), &spots), None, "an overlap is seen");
    assert!(Rect { x: 0, y: 0, w: 50, d: 50 }.overlaps(&Rect { x: 49, y: 49, w: 35, d: 35 }));
}

/// Two 2 × 1, two 1 × 2 and one 1 × 1 fill 3 × 3 as a pinwheel, which no edge-to-edge cut divides (computed by
/// exhaustion for this project).
#[test]
fn the_pinwheel() {
    let floor = Floor { w: 3, d: 3, ..Floor::default() };
    let mut sizes = vec![(2, 1), (2, 1), (1, 2), (1, 2), (1, 1)];
    let Packed::Found(spots) = pack(&floor, &fixed(&sizes), &Stop::never()) else { panic!("pinwheel") };
    assert_eq!(area_covered_once(&floor, &fixed(&sizes), &spots), Some(9));
    // The same area in three strips that leave no room for each other.
    sizes = vec![(3, 1), (1, 3), (1, 3)];
    assert_eq!(pack(&floor, &fixed(&sizes), &Stop::never()), Packed::Impossible);
}

/// Gaps: four trays of 10 × 10 with 1 between and 2 at the sides need 25 × 25, to the step.
#[test]
fn gaps_count_to_the_step() {
    let floor = |w, d| Floor { w, d, side: 2, between: 1, ..Floor::default() };
    let pieces = squares([10, 10, 10, 10]);
    assert!(matches!(pack(&floor(25, 25), &pieces, &Stop::never()), Packed::Found(_)));
    assert_eq!(pack(&floor(24, 25), &pieces, &Stop::never()), Packed::Impossible);
}

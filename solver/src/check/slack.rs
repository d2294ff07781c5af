//! Slack: every number held against what it means, not against how it is worked out.

use super::Report;
use super::needs::{self, Chosen};
use super::view::{Room, View};

pub(super) fn check(view: &View, report: &mut Report) {
    for room in &view.rooms {
        // Where the need itself is wrong, that has been told.
        if let Ok(chosen) = needs::chosen(view.job, room)
            && chosen.least.goes_into(needs::clear(room.c))
        {
            sides(room, &chosen, report);
            shares(room, &chosen, report);
            more(room, &chosen, report);
        }
    }
}

/// A side could shrink by its slack, the other two staying, and by not a nanometre more.
fn sides(room: &Room, chosen: &Chosen, report: &mut Report) {
    let s = &room.c.slack;
    for (axis, (what, slack)) in
        [("width", s.width), ("depth", s.depth), ("height", s.height)].iter().enumerate()
    {
        let less = |nm: i64| {
            let mut clear = needs::clear(room.c);
            clear[axis] -= i128::from(nm);
            clear[axis] >= 0 && chosen.least.goes_into(clear)
        };
        if !less(slack.nm()) || less(slack.nm() + 1) {
            report.fault(
                "C080",
                &room.path,
                format!("a {what} slack of {slack} is not what the need leaves"),
            );
        }
    }
}

/// Millilitres and percent, rounded down to a tenth.
fn shares(room: &Room, chosen: &Chosen, report: &mut Report) {
    let s = &room.c.slack;
    let clear = room.extent.volume();
    let beyond = clear - chosen.least.volume();
    let tenths = |part: i128, whole: i128| part.div_euclid(whole.max(1)) as f64 / 10.0;
    let ml = tenths(beyond, 10i128.pow(20));
    let percent = tenths(beyond * 1000, clear);
    if s.volume_ml != ml {
        report.fault(
            "C081",
            &room.path,
            format!("it says {} ml beyond the need, there are {ml}", s.volume_ml),
        );
    }
    if s.percent != percent {
        report.fault(
            "C081",
            &room.path,
            format!("it says {} % beyond the need, there are {percent}", s.percent),
        );
    }
}

/// So many more go in, standing alike, and not one beyond.
fn more(room: &Room, chosen: &Chosen, report: &mut Report) {
    let s = &room.c.slack;
    let more = i128::from(s.more);
    if more < 0 || !chosen.with_more(room, more) || chosen.with_more(room, more + 1) {
        report.fault("C082", &room.path, format!("{} more {} is not what goes in", s.more, s.more_of));
    }
    let of = needs::terms(room);
    if s.more_of != of {
        report.fault(
            "C082",
            &room.path,
            format!("it is told in \"{}\", the part's own terms are \"{of}\"", s.more_of),
        );
    }
}

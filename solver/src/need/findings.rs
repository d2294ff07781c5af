//! What is doubtful about a part's contents.

use crate::finding::Finding;
use crate::job;

/// Findings about a part.
pub fn findings(_part: &job::Part) -> Vec<Finding> {
    Vec::new()
}

//! Vectors that do not grow.

/// All that comes, in room for the most that may come. Where nearly all does, a vector that grows copies it again and again, and is for
/// a moment there twice.
pub(crate) fn collected<T>(items: impl Iterator<Item = T>) -> Vec<T> {
    let (_, most) = items.size_hint();
    let mut all = Vec::with_capacity(most.unwrap_or_default());
    all.extend(items);
    all
}

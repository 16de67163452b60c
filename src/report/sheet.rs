//! An answer as CSV with one row an item, columns named as in the JSON.

/// The sheet as text. Where the study was interrupted a last column `partial` holds `true` in every row, as the
/// JSON then has a key of that name.
///
/// # Errors
/// If the writer fails, which one into memory does not.
pub(super) fn render<const N: usize>(
    columns: &[&str; N],
    rows: impl IntoIterator<Item = [String; N]>,
    partial: bool,
) -> Result<Vec<u8>, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(columns.iter().copied().chain(partial.then_some("partial")))?;
    for row in rows {
        out.write_record(row.iter().map(String::as_str).chain(partial.then_some("true")))?;
    }
    out.into_inner().map_err(|e| e.into_error().into())
}

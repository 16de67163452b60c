//! Many procedures on one circuit: what several have in common at their beginning is run once.

use super::progress::Progress;
use crate::job::error::JobError;
use crate::job::resume::{Ready, Underway};
use crate::scenario::procedure::Step;
use crate::sorting;

/// A step with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What is done.
    pub step: Step,
    /// Pass, from 1.
    pub pass: u32,
    /// Number of the step in a pass, from 1.
    pub number: usize,
}

/// Runs procedures, each a row of indices into `table`, and asks `end` what each came to (its index, the
/// job at its end). Rows that begin alike are run once up to where they part, and the job is copied there.
///
/// Answers come in the order of the rows; they are the same on any number of threads, and the same as when
/// each row is run alone. `None` where the study was ended before.
///
/// # Errors
/// The first step that cannot be simulated.
pub fn run<T: Send>(
    ready: &Ready,
    table: &[Placed],
    rows: &[&[u32]],
    progress: &Progress<'_>,
    end: impl Fn(usize, &Underway) -> T + Sync,
) -> Result<Vec<Option<T>>, JobError> {
    let mut sorted: Vec<usize> = (0..rows.len()).collect();
    sorting::by_key(&mut sorted, |&i| rows[i]);
    let tree = Tree { table, rows, progress, end };
    let mut answers: Vec<Option<T>> = Vec::new();
    answers.resize_with(rows.len(), || None);
    for (row, answer) in tree.descend(ready.begin()?, 0, &sorted)? {
        answers[row] = Some(answer);
    }
    Ok(answers)
}

struct Tree<'a, E> {
    table: &'a [Placed],
    rows: &'a [&'a [u32]],
    progress: &'a Progress<'a>,
    end: E,
}

impl<E> Tree<'_, E> {
    /// Runs the rows of `group`, sorted and alike in their first `depth` steps, which `job` has done.
    fn descend<T: Send>(
        &self,
        mut job: Underway,
        mut depth: usize,
        group: &[usize],
    ) -> Result<Vec<(usize, T)>, JobError>
    where
        E: Fn(usize, &Underway) -> T + Sync,
    {
        let mut answers = Vec::new();
        let mut rest = group;
        loop {
            // Rows that end here stand before those that go on.
            while let Some((&row, others)) = rest.split_first()
                && self.rows[row].len() == depth
            {
                answers.push((row, (self.end)(row, &job)));
                rest = others;
            }
            let next = |row: &usize| self.rows[*row][depth];
            let branches: Vec<&[usize]> = rest.chunk_by(|a, b| next(a) == next(b)).collect();
            match branches.as_slice() {
                [] => return Ok(answers),
                _ if !self.progress.goes_on() => return Ok(answers),
                [only] => self.act(&mut job, next(&only[0]))?,
                several => {
                    answers.extend(self.part(job, depth, several)?);
                    return Ok(answers);
                }
            }
            depth += 1;
        }
    }

    /// Runs several branches: the last of them with the job itself, each of the others with a copy.
    fn part<T: Send>(
        &self,
        mut job: Underway,
        depth: usize,
        branches: &[&[usize]],
    ) -> Result<Vec<(usize, T)>, JobError>
    where
        E: Fn(usize, &Underway) -> T + Sync,
    {
        if let [branch] = branches {
            self.act(&mut job, self.rows[branch[0]][depth])?;
            return self.descend(job, depth + 1, branch);
        }
        let (some, others) = branches.split_at(branches.len() / 2);
        let copy = job.clone();
        let (some, others) =
            rayon::join(|| self.part(copy, depth, some), || self.part(job, depth, others));
        let mut answers = some?;
        answers.append(&mut others?);
        Ok(answers)
    }

    fn act(&self, job: &mut Underway, index: u32) -> Result<(), JobError> {
        let Placed { step, pass, number } = &self.table[index as usize];
        job.act(step, *pass, *number)
    }
}

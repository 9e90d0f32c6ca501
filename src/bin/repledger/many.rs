//! Work on many things, each told in its turn; one that cannot be done does not stop the rest, and is named at the end.

use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::pipeline::in_order;
use crate::printer::Printer;
use crate::progress::Progress;

/// Many things, and what is done with each.
pub struct Many<'a, T> {
    /// What is done with them, such as "reviewed".
    pub done: &'static str,
    /// The things.
    pub things: &'a [T],
    /// What one is called.
    pub name: fn(&T) -> String,
    /// Whether how far the work is, is shown.
    pub shown: bool,
    /// Whether to stop.
    pub halt: &'a Halt,
}

/// What came of many things.
pub struct Came {
    /// The names of those that could not be done.
    pub failed: Vec<String>,
    /// How many there were.
    of: usize,
    /// After a request to stop: the signal, and the word about it.
    stopped: Option<(usize, String)>,
}

impl<T: Sync> Many<'_, T> {
    /// Calls `work` for each on all threads; then on this one, in their order, `end` brings it to its end, and `tell` prints what came of
    /// it.
    ///
    /// # Errors
    /// The first of `tell`; then no further one is begun.
    pub fn in_parallel<R: Send, S>(
        &self,
        work: impl Fn(usize, &T) -> R + Sync,
        mut end: impl FnMut(usize, &T, R) -> anyhow::Result<S>,
        tell: impl FnMut(&T, anyhow::Result<S>, &mut Printer) -> anyhow::Result<()>,
        printer: &mut Printer,
    ) -> anyhow::Result<Came> {
        let mut telling = Telling::new(self, tell, printer);
        in_order(
            self.things.iter().enumerate(),
            self.halt,
            |(place, thing)| (place, thing, work(place, thing)),
            |(place, thing, worked)| telling.told(thing, end(place, thing, worked)),
        )?;
        Ok(telling.came())
    }

    /// Calls `work` for one after the other, and `tell` for what came of it.
    ///
    /// # Errors
    /// The first of `tell`; then no further one is begun.
    pub fn in_turn<S>(
        &self,
        mut work: impl FnMut(&T) -> anyhow::Result<S>,
        tell: impl FnMut(&T, anyhow::Result<S>, &mut Printer) -> anyhow::Result<()>,
        printer: &mut Printer,
    ) -> anyhow::Result<Came> {
        let mut telling = Telling::new(self, tell, printer);
        self.halt.between();
        for thing in self.things {
            if self.halt.asked().is_some() {
                break;
            }
            telling.told(thing, work(thing))?;
        }
        Ok(telling.came())
    }
}

/// Tells of one thing after the other.
struct Telling<'a, T, F> {
    many: &'a Many<'a, T>,
    tell: F,
    progress: Progress,
    failed: Vec<String>,
    printer: &'a mut Printer,
}

impl<'a, T, F> Telling<'a, T, F> {
    fn new(many: &'a Many<'a, T>, tell: F, printer: &'a mut Printer) -> Self {
        let shown = if many.shown { many.things.len() } else { 0 };
        Self {
            progress: Progress::new(many.done, shown, printer),
            failed: Vec::new(),
            many,
            tell,
            printer,
        }
    }

    fn told<S>(&mut self, thing: &T, outcome: anyhow::Result<S>) -> anyhow::Result<()>
    where
        F: FnMut(&T, anyhow::Result<S>, &mut Printer) -> anyhow::Result<()>,
    {
        let name = (self.many.name)(thing);
        self.progress.step(&name, self.printer);
        if outcome.is_err() {
            self.failed.push(name);
        }
        (self.progress).aside(|| (self.tell)(thing, outcome, self.printer))
    }

    /// Takes the progress away; after a request to stop says how far the work came, if there is a thing that was not begun.
    fn came(self) -> Came {
        self.progress.end();
        let Many { done, things, .. } = self.many;
        let (told, of) = (self.progress.done(), things.len());
        let stopped = (self.many.halt.asked().zip(things.get(told))).map(|(signal, next)| {
            let (came, next) = (told - self.failed.len(), (self.many.name)(next));
            let word =
                format!("stopped: {came} of {of} {done}, the rest not begun, from {next} on");
            (signal, word)
        });
        Came {
            failed: self.failed,
            of,
            stopped,
        }
    }
}

impl Came {
    /// Names those that could not be done, if there are any.
    pub fn name_failed(&self, how: &str, printer: &mut Printer) {
        if !self.failed.is_empty() {
            let (failed, of) = (self.failed.len(), self.of);
            let names = self.failed.join(", ");
            printer.talk(format!("{how}, {failed} of {of}: {names}"));
        }
    }

    /// The status of a command that was asked to stop before all was done, which is told.
    pub fn stopped(&self, printer: &mut Printer) -> Option<ExitStatus> {
        let (signal, word) = self.stopped.as_ref()?;
        printer.talk(word);
        Some(ExitStatus::Stopped(*signal))
    }

    /// How the command ends, which is told where it was asked to stop.
    pub fn status(&self, printer: &mut Printer) -> ExitStatus {
        match self.stopped(printer) {
            Some(stopped) => stopped,
            None if self.failed.is_empty() => ExitStatus::Done,
            None => ExitStatus::CouldNot,
        }
    }
}

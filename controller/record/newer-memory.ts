/** What lies on the disk was written by a newer program: this one neither reads nor touches it. */
export class NewerMemory extends Error {
  override readonly name = "NewerMemory";

  constructor(version: number) {
    super(
      `The memory in this folder was written by a newer Evenbrine (format ${version}). Nothing was changed in it: ` +
        "start that version again, or give this one another folder.",
    );
  }
}

/** The water does not wait for a chart: a newer history keeps nobody from starting. */
export const describeNewerHistory = (version: number): string =>
  `The history in this folder was written by a newer Evenbrine (format ${version}). It is neither read nor touched, and ` +
  "none is kept beside it: start that version again, or move history.db away. The tank is looked after as ever.";

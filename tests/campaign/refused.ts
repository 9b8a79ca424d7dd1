/** What was asked for, or a file that was named, makes no sense: said in a line, without a trace. */
export class Refused extends Error {
  override readonly name = "Refused";
}

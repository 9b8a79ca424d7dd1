/**
 * What a small second file beside the durable memory still knows when the memory itself is lost: the testimony of each
 * machine that has one, by the machine's name. It gives nothing back that a person has to look at; it keeps what would be
 * more dangerous forgotten than remembered.
 */
export type Witness = Readonly<Record<string, unknown>>;

/** The time since the last scan, as it travels through everything that remembers amounts. */
export interface Elapsed {
  /** All of it, whole milliseconds: what charges and ages take. */
  readonly ms: number;
  /** As much of it as credits may gain: never more than two scan periods. */
  readonly creditMs: number;
  /** No scan came for so long that every output fell off by itself. */
  readonly gap: boolean;
}

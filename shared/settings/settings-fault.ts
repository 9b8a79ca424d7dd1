/** What is wrong with a settings file: where, what stands there, what was expected. */
export interface SettingsFault {
  /** Such as `topOff.sliceMl`; empty for the file as a whole. */
  readonly path: string;
  readonly value: unknown;
  readonly expected: string;
}

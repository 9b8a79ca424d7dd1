import type { Commands, Image, ScanRecord } from "../../../shared/contract/index.ts";
import type { Settings } from "../../../shared/settings/index.ts";

/** What a checker sees of one scan. It shares no code with what decides: only the words of the contract. */
export interface Scene {
  readonly image: Image;
  readonly record: ScanRecord;
  readonly commands: Commands;
  readonly settings: Settings;
}

/** Looks for one invariant over a whole run; says what is wrong in this scan, or null. */
export type Checker = (scene: Scene) => string | null;

/** Plain JavaScript, since the launcher runs it on an older Node. */
declare module "*/parent.mjs" {
  export function watchParent(onGone: () => void): void;
}

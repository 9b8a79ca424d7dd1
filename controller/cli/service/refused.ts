/** Why no service was installed or removed, in a sentence; nothing was changed unless it says so. */
export class ServiceRefused extends Error {
  override readonly name = "ServiceRefused";
}

/**
 * Whether a request was meant for this server by a page of this server. A page elsewhere can point a name of its own at
 * 127.0.0.1, so the name that the browser was told counts (`Host`), and so does the page that asks (`Origin`), on HTTP
 * as on the opening of a WebSocket, which no same-origin rule protects.
 */
export function refusalOf(host: string | undefined, origin: string | undefined, port: number): Refusal | null {
  const own = ownHosts(port);
  if (host === undefined || !own.has(host.toLowerCase())) {
    return { status: 421, why: `This controller answers only to 127.0.0.1:${port} and localhost:${port}.` };
  }
  if (origin === undefined) return null;
  const isOwn = origin.startsWith("http://") && own.has(origin.slice("http://".length).toLowerCase());
  return isOwn ? null : { status: 403, why: "This controller answers no page but its own." };
}

export interface Refusal {
  readonly status: 403 | 421;
  readonly why: string;
}

/** As browsers write them: without the port where it is the usual one of HTTP. */
export function ownHosts(port: number): ReadonlySet<string> {
  const end = port === 80 ? "" : `:${port}`;
  return new Set(["127.0.0.1", "localhost", "[::1]"].map((name) => `${name}${end}`));
}

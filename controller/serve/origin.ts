/** What a request says of who asks, and of whom. */
export interface Asking {
  /** The name that the browser was told. */
  readonly host: string | undefined;
  /** The page that asks. */
  readonly origin: string | undefined;
  /** How that page stands to this server, by the browser's own word (W3C Fetch Metadata, `Sec-Fetch-Site`). */
  readonly site: string | undefined;
  /** Somebody follows a link to the page itself, which is opened beside whatever they looked at. */
  readonly isPageVisit: boolean;
}

/**
 * Whether a request was meant for this server by a page of this server. A page elsewhere can point a name of its own at
 * 127.0.0.1, so the name that the browser was told counts (`Host`), and so does the page that asks (`Origin`), on HTTP
 * as on the opening of a WebSocket, which no same-origin rule protects. A mere picture tag elsewhere names no origin,
 * and would still let us read for minutes: there the browser's own word counts.
 */
export function refusalOf({ host, origin, site, isPageVisit }: Asking, port: number): Refusal | null {
  const own = ownHosts(port);
  if (host === undefined || !own.has(host.toLowerCase())) {
    return { status: 421, why: `This controller answers only to 127.0.0.1:${port} and localhost:${port}.` };
  }
  if (site !== undefined && site !== "same-origin" && site !== "none" && !isPageVisit) return FOREIGN;
  if (origin === undefined) return null;
  const isOwn = origin.startsWith("http://") && own.has(origin.slice("http://".length).toLowerCase());
  return isOwn ? null : FOREIGN;
}

export interface Refusal {
  readonly status: 403 | 421;
  readonly why: string;
}

const FOREIGN: Refusal = { status: 403, why: "This controller answers no page but its own." };

/** As browsers write them: without the port where it is the usual one of HTTP. */
export function ownHosts(port: number): ReadonlySet<string> {
  const end = port === 80 ? "" : `:${port}`;
  return new Set(["127.0.0.1", "localhost", "[::1]"].map((name) => `${name}${end}`));
}

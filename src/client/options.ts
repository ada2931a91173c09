/** How a client calls the service. */

export interface ClientOptions {
  /** Where the service listens, for example `http://127.0.0.1:8080`; a path in front is kept. */
  readonly baseUrl: string;
  /** Access key, where the service asks for one. */
  readonly key?: string;
  /** Milliseconds for one call, with its retries. @default 60000 */
  readonly timeout?: number;
  /** How often a call is sent again that got no answer, 429 or 503. Every call is safe to repeat: the service keeps nothing. @default 3 */
  readonly retries?: number;
}

export interface CallOptions {
  /** Ends the call; it then fails with the reason of the signal. */
  readonly signal?: AbortSignal;
}

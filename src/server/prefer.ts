/** The Prefer header (RFC 7240): what a client would like, which a server may pass over. */

/** Preferences are divided by commas, their parameters by semicolons; neither divides inside quotation marks. */
const PREFERENCE = /(?:[^,"]|"(?:\\.|[^"\\])*(?:"|$))+/g;
const RETURN = /^\s*return\s*=\s*(?:"([^"]*)"|([^\s;"]+))\s*(?:;|$)/i;

/**
 * @param header all Prefer headers, joined with commas.
 * @returns true for `return=minimal`; of several wishes for `return` the first one counts.
 */
export function prefersMinimal(header: string | readonly string[] | undefined): boolean {
  const wishes = [header ?? []].flat().join(',').match(PREFERENCE) ?? [];
  const first = wishes.map((wish) => RETURN.exec(wish)).find((match) => match !== null);
  return (first?.[1] ?? first?.[2])?.toLowerCase() === 'minimal';
}

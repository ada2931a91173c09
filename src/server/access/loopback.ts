/** Whether an address can be reached from this machine only. */
import { BlockList, isIP } from 'node:net';

const LOOPBACK = new BlockList();
LOOPBACK.addSubnet('127.0.0.0', 8, 'ipv4');
LOOPBACK.addAddress('::1', 'ipv6');

/** A name other than localhost may lead anywhere, so it counts as public. */
export function isLoopback(host: string): boolean {
  const version = isIP(host);
  if (version === 0) return host === 'localhost';
  return LOOPBACK.check(host, version === 6 ? 'ipv6' : 'ipv4');
}

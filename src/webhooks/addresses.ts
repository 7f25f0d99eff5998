// Which addresses may be connected to: those of the public internet. By the IANA registries of special-purpose addresses (RFC 6890).
import { BlockList, isIP } from 'node:net'

/** IPv4: this network, private, shared, loopback, link-local, protocols, documentation, 6to4 relays, benchmarks, multicast, reserved. */
const NOT_PUBLIC_4 = [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.88.99.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 4],
  ['240.0.0.0', 4],
] as const

/** IPv6 within 2000::/3, of which alone addresses are given out: protocols and Teredo, documentation (two), 6to4. */
const NOT_PUBLIC_6 = [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
] as const

const notPublic = new BlockList()
for (const [network, bits] of NOT_PUBLIC_4) notPublic.addSubnet(network, bits, 'ipv4')
for (const [network, bits] of NOT_PUBLIC_6) notPublic.addSubnet(network, bits, 'ipv6')
const givenOut = new BlockList()
givenOut.addSubnet('2000::', 3, 'ipv6')

/** Whether an IP address is one of the public internet. IPv4 within IPv6 is none: it has a plain form. */
export function isPublic(address: string): boolean {
  if (isIP(address) === 4) return !notPublic.check(address, 'ipv4')
  return isIP(address) === 6 && givenOut.check(address, 'ipv6') && !notPublic.check(address, 'ipv6')
}

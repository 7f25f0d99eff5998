// By the IANA registries of special-purpose addresses for IPv4 and IPv6 (RFC 6890), with the first and last address of blocks.
import { expect, test } from 'vitest'
import { isPublic } from '../../src/webhooks/addresses.ts'

const WITHIN = [
  ...['0.0.0.0', '10.0.0.1', '10.255.255.255', '100.64.0.1', '127.0.0.1', '127.255.255.255', '169.254.169.254'],
  ...['172.16.0.1', '172.31.255.255', '192.0.0.8', '192.168.1.1', '198.19.255.255', '224.0.0.1', '255.255.255.255'],
  ...['192.0.2.1', '198.51.100.1', '203.0.113.1'],
  ...['::', '::1', '::ffff:127.0.0.1', '::ffff:10.0.0.1', '64:ff9b::a00:1', 'fe80::1', 'fc00::1', 'fdff::1', 'ff02::1'],
  ...['2001:db8::1', '2001::1', '2002:a00:1::', '3fff::1', 'fe80::1%eth0', 'localhost', ''],
]
const PUBLIC = [
  ...['1.1.1.1', '9.255.255.255', '11.0.0.0', '100.63.255.255', '100.128.0.0', '126.255.255.255', '128.0.0.0'],
  ...[
    '172.15.255.255',
    '172.32.0.0',
    '192.167.255.255',
    '192.169.0.0',
    '223.255.255.255',
    '2606:4700::1111',
    '2a00::1',
  ],
]

test.each(WITHIN)('%s is no address of the public internet', (address) => {
  expect(isPublic(address)).toBe(false)
})

test.each(PUBLIC)('%s is one', (address) => {
  expect(isPublic(address)).toBe(true)
})

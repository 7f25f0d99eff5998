// Offer tokens: they say what was offered, and only who made them can.
import { randomBytes } from 'node:crypto'
import { expect, test } from 'vitest'
import { InvalidInput } from '../../../src/errors.ts'
import { MOST_LINES } from '../../../src/resolvers/orders/shapes.ts'
import { mintOffer, OFFER_HOURS, type Offer, readOffer } from '../../../src/resolvers/promise/offer-token.ts'

const maker = { distributorId: 'north', offerKey: randomBytes(32).toString('hex') }
const issuedAt = new Date('2027-03-01T09:00:00.123Z')
const offer: Offer = {
  accountId: 'account-1',
  revision: 7,
  issuedAt,
  lines: [
    { packId: 'pale-firkin', quantity: 3, serveOn: '2027-03-10', offeredOn: '2027-03-12' },
    {
      packId: 'stout-keg',
      quantity: 1,
      serveOn: '2027-03-10',
      offeredOn: '2027-03-10',
      latestServeOn: '2027-03-20',
      priority: 1,
      splittable: true,
    },
  ],
}
const token = mintOffer(maker, offer)

function issuesOf(read: () => unknown) {
  try {
    return read()
  } catch (error) {
    if (error instanceof InvalidInput) return error.issues.map(({ path, code }) => ({ path, code }))
    throw error
  }
}

const ALTERED = [{ path: 'offerToken', code: 'OFFER_ALTERED' }]

test('a token is read as the offer that it was made of', () => {
  expect(readOffer(maker, issuedAt, token)).toEqual(offer)
  expect(token).toMatch(/^[\w.-]+$/)
})

test('a token that differs at any one sign, or is cut short or made longer, is refused', () => {
  for (let at = 0; at < token.length; at++) {
    for (const sign of ['A', 'B', 'z', '.', '=', 'é']) {
      if (token[at] === sign) continue
      const altered = token.slice(0, at) + sign + token.slice(at + 1)
      expect(
        issuesOf(() => readOffer(maker, issuedAt, altered)),
        altered,
      ).toEqual(ALTERED)
    }
    expect(issuesOf(() => readOffer(maker, issuedAt, token.slice(0, at)))).toEqual(ALTERED)
  }
  for (const longer of [`${token}A`, `${token}=`, ` ${token}`, `${token}.`, `${token}\n`])
    expect(issuesOf(() => readOffer(maker, issuedAt, longer))).toEqual(ALTERED)
})

test('what is no token at all is refused', () => {
  for (const text of ['', '.', '..', 'o1', 'o1..', '{}', 'null', token.toUpperCase()])
    expect(issuesOf(() => readOffer(maker, issuedAt, text))).toEqual(ALTERED)
})

test('a token of another distributor is refused, even where both had one key', () => {
  const other = { distributorId: 'south', offerKey: randomBytes(32).toString('hex') }
  expect(issuesOf(() => readOffer(other, issuedAt, token))).toEqual(ALTERED)
  expect(issuesOf(() => readOffer({ ...other, offerKey: maker.offerKey }, issuedAt, token))).toEqual(ALTERED)
})

test('a token can be used until its hours are over', () => {
  const end = issuedAt.getTime() + OFFER_HOURS * 3_600_000
  expect(readOffer(maker, new Date(end - 1), token)).toEqual(offer)
  const path = 'input.offerToken'
  expect(issuesOf(() => readOffer(maker, new Date(end), token, path))).toEqual([{ path, code: 'OFFER_EXPIRED' }])
})

test('a token of as many lines as an order may have is read again', () => {
  const many = { ...offer, lines: Array.from({ length: MOST_LINES }, () => offer.lines[1]!) }
  expect(readOffer(maker, issuedAt, mintOffer(maker, many))).toEqual(many)
})

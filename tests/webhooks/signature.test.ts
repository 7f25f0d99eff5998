// What is signed here is held to the reference library of the Standard Webhooks specification.
import { Webhook } from 'standardwebhooks'
import { expect, test } from 'vitest'
import { newSecret, signedHeaders } from '../../src/webhooks/signature.ts'

const body = '{"type":"ORDER_PLACED","data":{"note":"Ä €5"}}'
const message = { id: 'a1b2', at: new Date(), body }

test('the reference library takes a message that is signed with its secret, and none that was changed', () => {
  const secret = newSecret()
  const headers = signedHeaders(message, [secret])
  const receiver = new Webhook(secret)
  expect(receiver.verify(body, headers)).toEqual(JSON.parse(body))
  expect(() => receiver.verify(body.replace('5', '6'), headers)).toThrow()
  expect(() => receiver.verify(body, { ...headers, 'webhook-id': 'other' })).toThrow()
  expect(() => new Webhook(newSecret()).verify(body, headers)).toThrow()
})

test('while a secret takes the place of another, receivers of either take the message', () => {
  const [now, former] = [newSecret(), newSecret()]
  const headers = signedHeaders(message, [now, former])
  for (const secret of [now, former]) expect(new Webhook(secret).verify(body, headers)).toEqual(JSON.parse(body))
})

test('a message that is signed long before is refused by the reference library: each attempt has its own time', () => {
  const secret = newSecret()
  const late = { ...message, at: new Date(Date.now() - 10 * 60_000) }
  expect(() => new Webhook(secret).verify(body, signedHeaders(late, [secret]))).toThrow(/old/i)
})

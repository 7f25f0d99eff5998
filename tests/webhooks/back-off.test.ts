import { expect, test } from 'vitest'
import { nextAttempt, WAITS } from '../../src/webhooks/back-off.ts'

test('a delivery is tried ten times over three days, and then given up', () => {
  let now = new Date('2027-03-01T00:00:00Z')
  const began = now
  let attempts = 1
  for (let next = nextAttempt(attempts, now, 0); next; next = nextAttempt(attempts, now, 0)) {
    expect(next > now).toBe(true)
    now = next
    attempts += 1
  }
  // Standard Webhooks 1.0.0, "Deliverability and reliability": 5 s, 5 min, 30 min, 2 h, 5 h, 10 h, 14 h, 20 h, 24 h.
  expect(attempts).toBe(10)
  expect((now.getTime() - began.getTime()) / 3_600_000).toBeCloseTo(75.585, 2)
})

test('chance adds up to a tenth of the wait', () => {
  const now = new Date(0)
  for (const [index, wait] of WAITS.entries())
    expect(nextAttempt(index + 1, now, 1)?.getTime()).toBeCloseTo(wait * 1100, 0)
})

// What the change log says, as a refused adoption tells it.
import { expect, test } from 'vitest'
import { eventWords } from '../../../src/resolvers/plans/event-words.ts'

const change = (event: string, type: string, what: string) => ({
  ...{ event, what, entity: { type, id: 'x' }, revision: 1 },
  ...{ before: null, now: null },
})

test('events are described in words, each once, and no code or id of a row is among them', () => {
  const words = eventWords([
    change('BATCH_CHANGED', 'Batch', 'Batch "G-12": readyAt'),
    change('BATCH_CHANGED', 'Batch', 'Batch "G-12": litres'),
    change('ORDER_PLACED', 'Order', 'Order "41"'),
    change('PLAN_FIXED', 'PlannedBrew', 'PlannedBrew "p1/b2": fixed'),
    change('PROMISE_AT_RISK', 'OrderLine', 'OrderLine "7c"'),
    change('RESERVATION_EXPIRED', 'Reservation', 'Reservation "BASKET-1": status'),
  ])
  expect(words).toEqual([
    'Batch "G-12" was changed',
    'Order "41" was placed',
    'a brew was fixed in the plan',
    'an order line came to be at risk',
    'Reservation "BASKET-1" ran out',
  ])
})

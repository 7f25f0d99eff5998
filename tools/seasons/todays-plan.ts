// What the plan in force has for a day, as the floor reads it from the API.
import { z } from 'zod'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import type { SeasonApi } from './api.ts'
import { named, pageOf } from './shapes.ts'

const batch = z.object({ id: z.string(), code: z.string() })

const shape = z.object({
  planInForce: z.object({
    id: z.string(),
    brews: pageOf(z.object({ id: z.string(), litres: z.number(), beer: named, vessel: named.extend({ site: named }) })),
    fillRuns: pageOf(
      z.object({
        id: z.string(),
        quantity: z.int(),
        batch: batch.nullable(),
        filler: z.object({ site: named }),
        pack: named.extend({ drawFrom: z.enum(['FERMENTER', 'BRIGHT']) }),
      }),
    ),
    transfers: pageOf(
      z.object({
        id: z.string(),
        litres: z.number(),
        batch: batch.nullable(),
        toVessel: named.extend({ site: named }),
      }),
    ),
    dumps: pageOf(z.object({ litres: z.number(), batch: batch.nullable() })),
    deliveries: pageOf(
      z.object({
        quantity: z.int(),
        route: named.extend({ transitDays: z.int() }),
        orderLine: z.object({ id: z.string(), pack: named, order: z.object({ account: named }) }),
        sources: z.array(z.object({ quantity: z.int(), stockLot: z.object({ id: z.string() }).nullable() })),
      }),
    ),
  }),
})

export type TodaysPlan = z.output<typeof shape>['planInForce']

const QUERY = `query ($day: LocalDate!) { planInForce { id
  brews(from: $day, to: $day, first: 50) { edges { node { id litres beer { id name } vessel { id name site { id name } } } } }
  fillRuns(from: $day, to: $day, first: 50) { edges { node {
    id quantity batch { id code } filler { site { id name } } pack { id name drawFrom } } } }
  transfers(from: $day, to: $day, first: 20) { edges { node { id litres batch { id code } toVessel { id name site { id name } } } } }
  dumps(from: $day, to: $day, first: 20) { edges { node { litres batch { id code } } } }
  deliveries(from: $day, to: $day, first: 100) { edges { node {
    quantity route { id name transitDays } orderLine { id pack { id name } order { account { id name } } }
    sources { quantity stockLot { id } } } } }
} }`

/** What is planned for the day. */
export async function todaysPlan(api: SeasonApi, day: LocalDate): Promise<TodaysPlan> {
  return (await api.ask('floor', shape, QUERY, { day })).planInForce
}

// What is said of days that are over: what was assumed is confirmed or put right, and what was said wrongly is corrected.
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { named, pageOf } from './shapes.ts'
import { type Shift, sayOfFacts } from './shift.ts'

/** How often the day before is gone through: where nothing is due, seldom. */
const GONE_THROUGH = { ASSUMED: 0.3, DUE_UNTIL_SAID: 0.9 } as const
/** Of what was assumed: how often it was otherwise. */
const OTHERWISE = 0.08

const shape = z.object({
  unconfirmed: pageOf(
    z.object({
      ...{
        id: z.string(),
        kind: z.string(),
        on: z.string(),
        quantity: z.int().nullable(),
        litres: z.number().nullable(),
      },
      site: named.nullable(),
      orderLine: z.object({ id: z.string() }).nullable(),
    }),
  ),
})
type Assumed = z.output<typeof shape>['unconfirmed'][number]

const QUERY =
  '{ unconfirmed(first: 200) { edges { node { id kind on quantity litres site { id name } orderLine { id } } } } }'

/** Goes through what was assumed, oldest first: what was otherwise is put right, the rest of each day and site is confirmed. */
export async function confirmAssumed(shift: Shift, unsaidWork: keyof typeof GONE_THROUGH): Promise<void> {
  const { api, day, random, diary } = shift
  if (!random.chance(GONE_THROUGH[unsaidWork])) return
  const { unconfirmed } = await api.ask('floor', shape, QUERY)
  const over = unconfirmed.filter(({ on }) => on < day)
  for (const fact of over) {
    const replace = random.chance(OTHERWISE) ? instead(fact, day) : undefined
    if (!replace) continue
    diary.note('went wrong', `${thing(fact.kind)} that was assumed of ${fact.on} was otherwise, and is put right`)
    await sayOfFacts(shift, 'correctFact', { fact: fact.id, ...replace })
  }
  const days = new Map(
    over.flatMap(({ on, site }) => (site ? [[`${on} ${site.id}`, { on, site: { id: site.id } }]] : [])),
  )
  for (const each of days.values()) await sayOfFacts(shift, 'confirmFacts', each)
}

/** How something was really; undefined for kinds that are as they were assumed. */
function instead({ kind, on, quantity, litres }: Assumed, today: string): object | undefined {
  const next = addDays(on, 1)
  switch (kind) {
    case 'BREWED':
      return next <= today ? { replace: { brewed: { on: next, litres: litres ?? undefined } } } : undefined
    case 'FILLED':
      return quantity === null || quantity < 2 ? undefined : { replace: { filled: { on, quantity: quantity - 1 } } }
    case 'DISPATCHED':
      return { withdraw: true }
    default:
      return undefined
  }
}

const saidShape = z.object({
  facts: pageOf(
    z.object({
      ...{ id: z.string(), kind: z.string(), on: z.string(), quantity: z.int().nullable() },
      corrects: z.object({ id: z.string() }).nullable(),
    }),
  ),
})

const SAID = `query ($from: LocalDate!) {
  facts(filter: { kinds: [FILLED, RETURNED, DELIVERED], from: $from, assumed: false, effectiveOnly: true }, first: 50) {
    edges { node { id kind on quantity corrects { id } } } } }`

/** Days for which somebody still notices. */
const DAYS_BACK = 4

/** Something that was said in the last days was otherwise: a fill is recounted, a return or a delivery did not happen. */
export async function correctSaid(shift: Shift): Promise<void> {
  const { api, day, random, diary } = shift
  if (!shift.strikes('saidWrongly')) return
  const { facts } = await api.ask('floor', saidShape, SAID, { from: addDays(day, -DAYS_BACK) })
  const firsts = facts.filter(({ corrects }) => corrects === null)
  if (firsts.length === 0) return
  const { id, kind, on, quantity } = random.pick(firsts)
  diary.note('went wrong', `${thing(kind)} that was written down for ${on} was otherwise, and is put right`)
  const recounted = kind === 'FILLED' && quantity !== null && quantity > 1
  const how = recounted ? { replace: { filled: { on, quantity: quantity - 1 } } } : { withdraw: true }
  await sayOfFacts(shift, 'correctFact', { fact: id, ...how })
}

/** What people call a fact of a kind. */
const THINGS = new Map([
  ['BREWED', 'a brew'],
  ['FILLED', 'a fill'],
  ['DISPATCHED', 'a load'],
  ['DELIVERED', 'a delivery'],
  ['RETURNED', 'a return of empties'],
])

function thing(kind: string): string {
  return THINGS.get(kind) ?? 'something'
}

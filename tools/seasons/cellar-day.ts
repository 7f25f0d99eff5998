// What goes wrong in the cellar and the store on a day: batches that ferment on or are kept back, lots that are recalled or
// counted otherwise, a vessel that fails with beer in it.
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { lasting, some } from './mishaps.ts'
import { named, pageOf } from './shapes.ts'
import { type Shift, sayFacts } from './shift.ts'

const shape = z.object({
  batches: pageOf(
    z.object({
      ...{ id: z.string(), code: z.string(), litres: z.number(), readyAt: z.string(), quarantined: z.boolean() },
      vessel: named.extend({ kind: z.string() }),
      beer: named.extend({ finalGravity: z.number().nullable() }),
    }),
  ),
  stockLots: pageOf(
    z.object({
      ...{ id: z.string(), code: z.string(), quantity: z.int(), quarantined: z.boolean() },
      pack: z.object({ name: z.string() }),
    }),
  ),
})

const QUERY = `{ batches(filter: { standing: true }, first: 100) { edges { node {
    id code litres readyAt quarantined vessel { id name kind } beer { id name finalGravity } } } }
  stockLots(filter: { standing: true }, first: 200) { edges { node { id code quantity quarantined pack { name } } } } }`

/** Draws what goes wrong, and says it. */
export async function cellarDay(shift: Shift): Promise<void> {
  const { api, day, memory } = shift
  const ended = memory.pending.filter(({ on }) => on <= day)
  for (const each of ended) {
    memory.pending.splice(memory.pending.indexOf(each), 1)
    await each.end(shift)
  }
  const standing = await api.ask('floor', shape, QUERY)
  await fermentingOn(shift, standing.batches)
  await keptBack(shift, standing)
  await vesselFailing(shift, standing.batches)
  await counted(shift, standing.stockLots)
}

type Standing = z.output<typeof shape>

/** A high reading moves the expected end of fermentation to a day after it, and what follows with it. */
async function fermentingOn(shift: Shift, batches: Standing['batches']): Promise<void> {
  const { day, diary } = shift
  for (const { id, code, beer, readyAt } of batches) {
    const soon = readyAt.slice(0, 10) >= day && readyAt.slice(0, 10) <= addDays(day, 3)
    if (!soon || beer.finalGravity === null || !shift.strikes('fermentsOn')) continue
    diary.note('went wrong', `${code}, ${beer.name}, ferments on`)
    await sayFacts(shift, [{ reading: { batch: { id }, gravity: beer.finalGravity + 0.006, celsius: 18.5 } }])
  }
}

async function keptBack(shift: Shift, { batches, stockLots }: Standing): Promise<void> {
  const { day, random, diary, memory } = shift
  const lots = stockLots.filter(({ quarantined, quantity }) => !quarantined && quantity > 0)
  if (lots.length > 0 && shift.strikes('lotQuarantined')) {
    const { id, code, pack } = random.pick(lots)
    diary.note('went wrong', `the lot ${code} of ${pack.name} is kept back`)
    await sayFacts(shift, [{ lotQuarantined: { lot: { id }, why: 'off flavour at an account' } }])
    const isGood = random.chance(0.5)
    memory.pending.push({ on: addDays(day, lasting(random)), end: (then) => endOfLot(then, id, code, isGood) })
  }
  const good = batches.filter(({ quarantined, litres }) => !quarantined && litres > 0)
  if (good.length > 0 && shift.strikes('batchQuarantined')) {
    const { id, code, beer } = random.pick(good)
    diary.note('went wrong', `${code}, ${beer.name}, is kept back`)
    await sayFacts(shift, [{ batchQuarantined: { batch: { id }, why: 'the laboratory is not done with it' } }])
    const isGood = random.chance(0.7)
    memory.pending.push({ on: addDays(day, lasting(random)), end: (then) => endOfBatch(then, id, code, isGood) })
  }
}

async function endOfLot(shift: Shift, id: string, code: string, isGood: boolean): Promise<void> {
  shift.diary.note('went wrong', `the lot ${code} is ${isGood ? 'released' : 'destroyed'}`)
  const lot = { id }
  await sayFacts(shift, [isGood ? { lotReleased: { lot } } : { lotDestroyed: { lot } }])
}

async function endOfBatch(shift: Shift, id: string, code: string, isGood: boolean): Promise<void> {
  shift.diary.note('went wrong', `${code} is ${isGood ? 'released' : 'poured away'}`)
  const batch = { id }
  await sayFacts(shift, [isGood ? { batchReleased: { batch } } : { dumped: { batch } }])
}

/** A fermenter fails with beer in it: it takes no brew for some days; what is in it may stay and be drawn (V3). */
async function vesselFailing(shift: Shift, batches: Standing['batches']): Promise<void> {
  const { day, random, diary } = shift
  if (batches.length === 0 || !shift.strikes('vesselFails')) return
  const { vessel, code } = random.pick(batches)
  const until = addDays(day, lasting(random) + 2)
  diary.note('went wrong', `${vessel.name} fails with ${code} in it; it is out until ${until}`)
  await sayFacts(shift, [{ vesselOut: { vessel: { id: vessel.id }, until, why: 'the cooling jacket leaks' } }])
}

async function counted(shift: Shift, lots: Standing['stockLots']): Promise<void> {
  const { random, diary } = shift
  const there = lots.filter(({ quantity }) => quantity > 0)
  if (there.length === 0 || !shift.strikes('countDiffers')) return
  const { id, code, quantity } = random.pick(there)
  const found = random.chance(0.3) ? quantity + 1 : quantity - some(random, quantity)
  diary.note('went wrong', `a count finds ${found} of the lot ${code} where ${quantity} should be`)
  await sayFacts(shift, [{ lotCounted: { lot: { id }, quantity: found } }])
}

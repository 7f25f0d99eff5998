// What a plan is to be made without: a vessel, a filler, a day; as callers name it and as the planner knows it.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import type { Without } from '../../planner/documents/index.ts'
import { addDays, localDate, type Problem } from '../../planner/documents/index.ts'
import { oneOf } from '../one-of.ts'
import { type References, thingRef } from '../thing-ref.ts'

export type { Without }

/** Most things that one plan is made without. */
export const MOST_WITHOUT = 50

export const withoutShape = oneOf({
  vessel: thingRef,
  filler: thingRef,
  day: z.strictObject({ day: localDate, site: thingRef.optional() }),
})

export const withoutListShape = z.array(withoutShape).max(MOST_WITHOUT).default([])

const storedShape = z.array(
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('VESSEL'), vesselId: z.string() }),
    z.strictObject({ kind: z.literal('FILLER'), fillerId: z.string() }),
    z.strictObject({ kind: z.literal('DAY'), day: localDate, siteId: z.string().optional() }),
  ]),
)

/** What a plan's row says that it was made without. */
export function readWithout(value: unknown): Without[] {
  return storedShape.parse(value)
}

/** The things by the ids of their rows. What is wrong is noted in `refs`. */
export async function findWithout(
  refs: References,
  list: readonly z.infer<typeof withoutShape>[],
  problem: Problem,
): Promise<Without[]> {
  const found: Without[] = []
  const seen = new Set<string>()
  for (const [index, each] of list.entries()) {
    const without = await findOneWithout(refs, each, problem, `without[${index}]`)
    const key = JSON.stringify(without)
    if (seen.has(key) && !key.includes('""')) refs.note(issue(`without[${index}]`, 'DUPLICATE_ENTRY'))
    seen.add(key)
    found.push(without)
  }
  return found
}

/** One of them, named at `path`. */
export async function findOneWithout(
  refs: References,
  { vessel, filler, day: closed }: z.infer<typeof withoutShape>,
  problem: Problem,
  path: string,
): Promise<Without> {
  if (vessel) return { kind: 'VESSEL', vesselId: await refs.id('Vessel', vessel, `${path}.vessel`) }
  if (filler) return { kind: 'FILLER', fillerId: await refs.id('Filler', filler, `${path}.filler`) }
  const day = closed?.day ?? ''
  noteIfOutside(refs, problem, day, `${path}.day.day`)
  if (!closed?.site) return { kind: 'DAY', day }
  return { kind: 'DAY', day, siteId: await refs.id('Site', closed.site, `${path}.day.site`) }
}

/** Notes a day on which no plan of the problem decides anything. */
export function noteIfOutside(refs: References, problem: Problem, day: string, path: string): void {
  const last = addDays(problem.today, problem.horizonDays - 1)
  if (day < problem.today || day > last)
    refs.note(issue(path, 'OUT_OF_RANGE', `is ${day}; expected a day from ${problem.today} to ${last}`))
}

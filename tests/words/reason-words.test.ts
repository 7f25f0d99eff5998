// Sentences are made of reasons in one place: every code has words, people read names, and no sentence is searched for ids.
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it, test } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../seeds/random-problem.ts'
import {
  type Plan,
  REASON_CODES,
  REASON_PARAMS,
  type Reason,
  type ReliefCode,
} from '../../src/planner/documents/index.ts'
import { RELIEF_CODES, RELIEF_UNITS } from '../../src/planner/documents/relief-units.ts'
import { makePlan } from '../../src/planner/index.ts'
import type { Mention } from '../../src/words/mentions.ts'
import { limitInWords, reasonInNames, reasonInWords } from '../../src/words/reason-words.ts'
import { sampled } from '../support/sampled.ts'

const NAMES: Record<string, string> = {
  'account a-1': 'The Quiet Anvil',
  'vessel 7c9e-1': 'FV3',
  'filler arm-1': 'Racking arm',
  'batch b-7': 'G1041',
  'beer b-8': 'Quernshadow Bitter',
  'site yard': 'Dimmerthwaite Yard',
  'containerType firkin': 'Firkin',
  'route r-1': 'Town',
  'pack p-1': 'Quernshadow Bitter, firkin',
}
const nameOf = async ({ kind, id }: Mention) => NAMES[`${kind} ${id}`]
const words = (reason: Reason) => reasonInNames(reason, nameOf)
const naming = { name: ({ kind, id }: Mention) => NAMES[`${kind} ${id}`] ?? id, day: (day: string) => `<${day}>` }

const IDS: Record<string, string> = {
  accountId: 'a-1',
  beerId: 'b-8',
  brewId: 'b-7',
  containerTypeId: 'firkin',
  packId: 'p-1',
}
const params = (names: readonly string[]) => Object.fromEntries(names.map((name, at) => [name, IDS[name] ?? 41 + at]))

describe('the catalogue', () => {
  it.each(REASON_CODES.filter((code) => code !== 'RELIEF_FOUND'))('says %s in sentences that lack nothing', (code) => {
    const names = REASON_PARAMS[code]
    const reason: Reason = {
      rule: 'V3',
      code,
      params: params(names),
      resource: { kind: 'VESSEL', id: '7c9e-1' },
      from: '2027-03-12',
      to: '2027-03-14',
    }
    const said = reasonInWords(reason, naming)
    if (code !== 'AS_RECORDED') expect(said).toMatch(/^[A-Z].*[^.]\.$/)
    expect(said).not.toMatch(/undefined|NaN|\?|that day/)
    for (const name of names.filter((each) => !(each in IDS))) expect(said).toContain(String(reason.params?.[name]))
  })

  it('has a code for all that the planner says, and the planner says all of it', () => {
    const planner = new URL('../../src/planner/', import.meta.url).pathname
    const catalogue = /documents\/reason-codes\.ts$/
    const texts = readdirSync(planner, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts') && !catalogue.test(file))
      .map((file) => readFileSync(join(planner, file), 'utf8'))
    const unsaid = REASON_CODES.filter((code) => !texts.some((text) => text.includes(`'${code}'`)))
    expect(unsaid).toEqual([])
  })

  it('says each relief with its amount, its day and the name of what it is about', async () => {
    const about: Partial<Record<ReliefCode, [string, string, string]>> = {
      FILLER_MINUTES: ['FILLER', 'arm-1', 'Racking arm'],
      CLEAN_CONTAINERS: ['FLEET', 'yard/firkin', 'Firkin'],
      ROUTE_LITRES: ['ROUTE', 'r-1', 'Town'],
      STORE_LITRES: ['STORE', 'yard/COLD', 'cold store of site Dimmerthwaite Yard'],
      CUT_OFF_LATER: ['ROUTE', 'r-1', 'Town'],
      BREWS_PER_DAY: ['SITE', 'yard', 'Dimmerthwaite Yard'],
      TRANSFERS_PER_DAY: ['SITE', 'yard', 'Dimmerthwaite Yard'],
      BATCH_READY_EARLIER: ['BATCH', 'b-7', 'G1041'],
      BATCH_RELEASED: ['BATCH', 'b-7', 'G1041'],
      VESSEL_FREE: ['VESSEL', '7c9e-1', 'FV3'],
    }
    for (const what of RELIEF_CODES) {
      const [kind = 'ORDER_LINE', id = 'l-1', name = ''] = about[what] ?? []
      const relief = { what, amount: 3, unit: RELIEF_UNITS[what], by: '2027-03-12' }
      const said = await words({
        rule: 'L1',
        code: 'RELIEF_FOUND',
        params: { remaining: 5 },
        resource: { kind, id },
        relief,
      })
      expect(said).toMatch(/^What alone would (serve it on time|do): .*; no smaller change would do\.$/)
      expect(said).toContain(name)
      expect(said).not.toMatch(/undefined|any day|\?/)
    }
  })
})

test('what a limit says and what would help are two sentences, and a summary takes the first', async () => {
  const relief = { what: 'FILLER_MINUTES', amount: 14, unit: 'MINUTE', by: '2027-03-10' } as const
  const reason: Reason = { rule: 'L1', code: 'NO_FILLER_MINUTES', resource: { kind: 'FILLER', id: 'arm-1' }, relief }
  const limit = 'The filler has no minutes left on the days on which this must be filled.'
  const help =
    'What alone would serve it on time: 14 more filler minutes on Wednesday 10 March 2027 (filler Racking arm); no smaller change would do.'
  expect(await words(reason)).toBe(`${limit} ${help}`)
  expect(limitInWords(reason, naming)).toBe(limit)
  expect(limitInWords({ ...reason, code: 'RELIEF_FOUND' }, naming)).toMatch(/^What alone .* on <2027-03-10>/)
})

test('a brew that is only planned keeps its id, and so does a thing that is gone', async () => {
  const lost: Reason = { rule: 'V9', code: 'SOURCE_LOST', resource: { kind: 'BATCH', id: 'brew-2' } }
  expect(await words(lost)).toBe('The beer was to come from brew-2, which cannot be as it was.')
  expect(await words({ ...lost, code: 'NOT_READY', from: '2027-03-14' })).toBe(
    'brew-2 is not ready before Sunday 14 March 2027.',
  )
})

test('a word of a sentence that is also an id is left as it is', async () => {
  const said = await reasonInNames(
    { rule: 'V3', code: 'NO_VESSEL_FREE', params: { beerId: 'beer' } },
    async () => 'Dusk',
  )
  expect(said).toBe('No vessel is free in time for a brew of Dusk; the beer at hand goes to other orders.')
})

test('the words of a recorded reason are as they were recorded, relief and all', async () => {
  const relief = { what: 'SPLIT_ALLOWED', amount: 1, unit: 'PERMISSION' } as const
  const old = 'It cannot be had whole. What alone would serve it on time: two deliveries.'
  expect(await words({ rule: 'A3', code: 'AS_RECORDED', params: { words: old }, relief })).toBe(old)
})

/** All reasons of a plan. */
function reasonsOf({ unserved, late = [], brokenPromises = [], moved = [] }: Plan): Reason[] {
  return [...unserved, ...late, ...brokenPromises, ...moved].flatMap(({ reasons }) => reasons)
}

test('reasons of plans carry the params of their code and no others', () => {
  const cases = PROBLEM_KINDS.flatMap((kind) => [1, 2, 3].map((seed) => ({ kind, seed })))
  let seen = 0
  for (const { kind, seed } of sampled(cases, 25)) {
    const { plan } = makePlan(randomProblem(seed, kind), { steps: 20 })
    for (const reason of reasonsOf(plan)) {
      seen += 1
      const wanted: readonly string[] = REASON_PARAMS[reason.code]
      const left = reason.relief?.what === 'FEWER_CONTAINERS' ? ['remaining'] : []
      expect(Object.keys(reason.params ?? {}), `${kind} ${seed}, ${reason.code}`).toEqual([...wanted, ...left])
    }
  }
  expect(seen).toBeGreaterThan(20)
})

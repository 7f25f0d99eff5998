// The fill sheet from the records: its figures against published values, and that filling as it says changes nothing.
import { afterEach, expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeContainerType } from '../../../src/resolvers/setup/container-type.ts'
import { readFillSheet } from '../../../src/resolvers/sheets/fill-sheet.ts'
import type { FillSheet, FillSheetRun } from '../../../src/sheets/fill-sheet.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'
import { expectReplayed } from '../../support/replayed.ts'

const { client, actor, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const record = (facts: object[]) => recordFacts(actor, { facts }, 'the cellar')
const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const sheetOf = (siteId: string, day?: string) => readFillSheet(actor, { site: refOf('Site', siteId), day })

afterEach(async () => {
  await expectValid()
  await expectReplayed(client, distributorId)
})

/** The sheet of the first day from today on, at any site, on which a run is as wanted. */
async function sheetWith(isWanted: (run: FillSheetRun) => boolean) {
  const { problem } = await stored()
  for (let ahead = 0; ahead < 20; ahead += 1)
    for (const { id } of problem.sites) {
      const sheet = await sheetOf(id, addDays(problem.today, ahead))
      const run = sheet.runs.find(isWanted)
      if (run) return { sheet, run }
    }
  throw new Error('no run is as wanted')
}

test('a pin of a beer at 128 mL a US beer barrel gets 22 mL of finings and 500 mL of sanitiser (common practice)', async () => {
  const { run, sheet } = await sheetWith(
    ({ container, figures }) => container.id === 'pin' && figures.finings !== undefined,
  )
  expect(run.figures.finings).toMatchObject({ value: 22, unit: 'mL' })
  expect(run.figures.sanitiser).toMatchObject({ value: 500, unit: 'mL' })
  expect(run.closures).toEqual({ keystones: run.quantity, shives: run.quantity })
  const store = await client.store.findFirstOrThrow({
    where: { distributorId, siteId: sheet.siteId, climate: run.pack.conditionIn },
  })
  expect(run.steps.find(({ code }) => code === 'STORE')).toMatchObject({ params: { name: store.name } })
  expect(run.strength?.isExpected).toBe(true)
  expect(run.label[1]).toBe(`${run.strength?.abv} % vol (expected)`)
})

test('a full firkin weighs about 50 kg (handling guidance, secondary); without a tare there is no weight, and the sheet says so', async () => {
  const { run } = await sheetWith(({ container }) => container.id === 'firkin')
  expect(run.figures.weight.value).toBeGreaterThan(48)
  expect(run.figures.weight.value).toBeLessThan(53)
  await changeContainerType(actor, { containerType: refOf('ContainerType', 'firkin'), tareKg: null })
  const again = await sheetWith(({ container }) => container.id === 'firkin')
  expect(again.run.figures.weight).toMatchObject({ value: undefined, missing: ['tare'] })
  await changeContainerType(actor, { containerType: refOf('ContainerType', 'firkin'), tareKg: 10.5 })
})

test('kegs have no keystones and no shives, and their working order has no step for them', async () => {
  const { run } = await sheetWith(({ container }) => container.kind === 'KEG')
  expect(run.closures).toEqual({ keystones: 0, shives: 0 })
  const codes = run.steps.map(({ code }) => code)
  expect(codes).not.toContain('SHIVE')
  expect(codes).not.toContain('CHOCK')
})

test('what was not measured leaves its figure empty and is named; a measured CO₂ outranks every estimate', async () => {
  const { run, sheet } = await sheetWith(({ batchCode }) => batchCode !== undefined)
  expect(run.figures.carbonation.value).toBeUndefined()
  expect(run.figures.carbonation.missing).toContain('warmest temperature since fermentation ended')
  const batch = refOf('Batch', run.batchId)
  await record([{ reading: { batch, gravity: run.beer.finalGravity, celsius: 4, bar: 0, co2Volumes: 1.05 } }])
  const { runs } = await sheetOf(sheet.siteId, sheet.day)
  const measured = runs.find(({ decisionId }) => decisionId === run.decisionId)
  expect(measured?.figures.carbonation.value).toBeCloseTo(1.05, 5)
})

test('without a measurement the CO₂ is the larger of what an open tank left and of what 4 °C hold: 1.5 volumes (Draper, priming tables)', async () => {
  const { run, sheet } = await sheetWith(
    ({ batchCode, readings }) => batchCode !== undefined && readings.co2Volumes === undefined,
  )
  const batch = refOf('Batch', run.batchId)
  // The batch is ready: all that is read now was read since fermentation ended.
  await record([
    { reading: { batch, celsius: 12, bar: 0 } },
    { reading: { batch, gravity: run.beer.finalGravity, celsius: 4, bar: 0 } },
  ])
  const { runs } = await sheetOf(sheet.siteId, sheet.day)
  const found = runs.find(({ decisionId }) => decisionId === run.decisionId)?.figures.carbonation
  // At 4 °C and 1 atm 1.5 volumes could be dissolved: the larger of the two is what the sheet goes by.
  expect(found?.value).toBeCloseTo(1.5, 1)
})

test('filling as the sheet says, and saying so, moves nothing and leaves nothing to fill; the lots are those that the sheet named', async () => {
  const { problem, plan } = await stored()
  const sheets = await Promise.all(problem.sites.map(({ id }) => sheetOf(id)))
  const sheet = sheets.find(({ runs }) => runs.some(({ batchCode }) => batchCode !== undefined))
  if (!sheet) throw new Error('something is filled today')
  const there = sheet.runs.filter(({ batchCode }) => batchCode !== undefined)
  const { repaired } = await record(
    there.map(({ decisionId, quantity }) => ({ filled: { fillRun: decisionId, quantity } })),
  )
  const { cost: _, ...moved } = repaired?.after ?? plan
  const { cost: __, ...carried } = repaired?.carried ?? plan
  expect(moved).toEqual(carried)
  const after = await sheetOf(sheet.siteId)
  expect(after.runs.filter(({ batchCode }) => batchCode !== undefined)).toEqual([])
  expect(after.filled.map(({ lotCode, quantity }) => ({ lotCode, quantity }))).toEqual(
    expect.arrayContaining(there.map(({ lotCode, quantity }) => ({ lotCode, quantity }))),
  )
  for (const { lotCode, fitOn, bestBefore } of there) {
    const lot = await client.stockLot.findFirstOrThrow({ where: { distributorId, code: lotCode } })
    expect([lot.readyOn, lot.bestBefore].map((day) => day.toISOString().slice(0, 10))).toEqual([fitOn, bestBefore])
  }
  expect((await stored()).plan.deliveries.length).toBe(plan.deliveries.length)
})

test('a run that has gone from the plan is refused by its field, and a day without work is an empty sheet', async () => {
  const { problem } = await stored()
  const [site] = problem.sites
  const asked = { site: refOf('Site', site?.id ?? ''), fillRun: 'gone' }
  await expect(readFillSheet(actor, asked)).rejects.toMatchObject({
    issues: [{ path: 'fillRun', code: 'UNKNOWN_REFERENCE', message: expect.stringContaining('may have moved') }],
  })
  const empty = await sheetOf(site?.id ?? '', addDays(problem.today, 400))
  expect(empty).toMatchObject({ runs: [], nextDay: undefined })
})

test('a day without work names the next day with a fill at that site', async () => {
  const { problem } = await stored()
  for (const { id } of problem.sites) {
    const days = Array.from({ length: 12 }, (_, ahead) => addDays(problem.today, ahead))
    const sheets = await Promise.all(days.map((day) => sheetOf(id, day)))
    const isBusy = ({ runs, filled }: FillSheet) => runs.length + filled.length > 0
    for (const [at, sheet] of sheets.entries()) {
      const next = sheets.slice(at + 1).find(({ runs }) => runs.length > 0)
      if (isBusy(sheet)) expect(sheet.nextDay).toBeUndefined()
      else if (next) expect(sheet.nextDay).toBe(next.day)
    }
    expect(sheets.filter(({ nextDay }) => nextDay !== undefined).length).toBeGreaterThan(0)
  }
})

test('primed casks get no sugar, and the sheet says why, until two equal gravities a day apart prove the beer', async () => {
  const { run } = await sheetWith(({ pack }) => pack.primed)
  expect(run.readings.isProven).toBe(false)
  expect(run.figures.sugar?.value).toBeUndefined()
  expect(run.figures.sugar?.warnings.map(({ code }) => code)).toContain('FERMENTATION_NOT_PROVEN')
})

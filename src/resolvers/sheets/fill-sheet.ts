// The fill sheet of a site and a day, or of one run, from the records.

import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import { issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { EFFECTIVE, factOf } from '../../records/fact-rows.ts'
import { byId } from '../../records/sheet-records.ts'
import { type FilledAlready, type FillSheet, fillSheet } from '../../sheets/fill-sheet.ts'
import type { Actor } from '../actor.ts'
import { globalId } from '../global-id.ts'
import { readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import { runsToFill } from './runs-to-fill.ts'
import { headOf, nextOf, type SheetSession, siteAsked, withSheetRecords } from './sheet-session.ts'

const shape = z.strictObject({
  site: thingRef,
  day: localDate.optional(),
  /** One run of the plan in force alone. */
  fillRun: globalId.optional(),
})

/** What is filled; `day` absent: the site's today. Throws `InvalidInput`, `NotFound`. */
export async function readFillSheet(actor: Actor, input: unknown): Promise<FillSheet> {
  const reading = readInput(shape, input)
  return withSheetRecords(actor, async (session) => {
    const { day, fillRun } = reading.given
    const run = session.facts.runs.find(({ run: { id } }) => id === fillRun)
    const goneFrom = (siteId: string) =>
      fillRun !== undefined && run?.stay.vessel.siteId !== siteId
        ? issue(
            'fillRun',
            'UNKNOWN_REFERENCE',
            `the plan in force has no run "${fillRun}" here: it may have moved, or been filled`,
          )
        : undefined
    const site = await siteAsked(session, reading, goneFrom)
    const { id: siteId } = site
    const head = headOf(actor, session, site, run?.run.on ?? day)
    const runs = session.facts.runs.filter(
      (each) => each.stay.vessel.siteId === siteId && each.run.on === head.day && (!run || each === run),
    )
    return fillSheet({
      head,
      runs: await runsToFill(session, runs),
      filled: run ? [] : await filledAlready(session, siteId, head.day),
      nextDay: nextOf(
        session.facts.runs.flatMap(({ run: { on }, stay }) => (stay.vessel.siteId === siteId ? on : [])),
        head,
      ),
    })
  })
}

/** Fills of the day that facts say. */
async function filledAlready(
  { tx, distributorId }: SheetSession,
  siteId: string,
  day: string,
): Promise<FilledAlready[]> {
  const where = { distributorId, siteId, ...EFFECTIVE, kind: 'FILLED', on: dateOf(day) }
  const facts = (await tx.fact.findMany({ where, orderBy: { number: 'asc' } })).map(factOf)
  const fills = facts.flatMap((fact) => (fact.kind === 'FILLED' ? [fact] : []))
  const lots = byId(
    await tx.stockLot.findMany({
      where: { distributorId, id: { in: fills.map(({ data }) => data.lotId) } },
      include: { pack: true, batch: true },
    }),
  )
  return fills.flatMap(({ id: factId, assumed: isAssumed, data: { batchId, packId, lotId, quantity } }) => {
    const lot = lots.get(lotId)
    if (!lot) return []
    const names = { batchCode: lot.batch?.code ?? '', packName: lot.pack.name, lotCode: lot.code }
    return { factId, isAssumed, batchId, packId, quantity, ...names }
  })
}

// What a day of filling leaves in the vessel of a run, and where that goes.
import type { RunFacts, TransferFacts } from './cellar.ts'

export interface VesselAfter {
  /** Litres that setting up the filler loses; 0 where an earlier run of the same set-up has the loss (L1). */
  lossLitres: number
  /** Litres in the vessel when the day's fills, losses and dumping are done (T4); what a transfer of the day takes is in it. */
  leftLitres: number
  /** Whether these empty the vessel on that day (V3); false where a transfer takes the rest. */
  isEmptied: boolean
  /** The transfer that takes the rest, on that day or later. Absent: it stays. */
  movesOn?: TransferFacts
}

/** The vessel of a run at the end of its day. */
export function vesselAfter(run: RunFacts): VesselAfter {
  const { stay, day, batch } = run
  const upTo = <Each extends { day: number }>(list: readonly Each[]) => list.filter((each) => each.day <= day)
  const sum = (list: readonly number[]) => list.reduce((total, each) => total + each, 0)
  const drawn = sum(upTo(stay.runs).map(({ run: { quantity }, of }) => quantity * of.drawLitres))
  const lost = sum(upTo(stay.setUps).map(({ lossLitres }) => lossLitres))
  const dumped = sum(upTo(stay.dumps).map(({ litres }) => litres))
  const setUp = stay.setUps.find((each) => each.day === day && each.runs.includes(run))
  const movesOn = stay.in === 'FERMENTER' ? batch.transfer : undefined
  return {
    lossLitres: setUp?.runs[0] === run ? setUp.lossLitres : 0,
    leftLitres: Math.max(0, stay.litres - drawn - lost - dumped),
    isEmptied: stay.emptiedOn === day && movesOn === undefined,
    ...(movesOn ? { movesOn } : {}),
  }
}

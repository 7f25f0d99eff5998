// The fill sheet of a site and a day: each run with its figures, its working order and its label, and what can hurt somebody.
import type { LocalDate } from '../planner/documents/index.ts'
import { dissolvedVolumes, expectedVolumes } from './carbonation.ts'
import { type Caution, cautionsOf } from './cautions.ts'
import type { Figure } from './figure.ts'
import { type FillStep, fillSteps, purgeChoice } from './fill-steps.ts'
import { co2ForDraw, finingsDose, hopsDose, sanitiserDose } from './finings.ts'
import { primingSugar, residueVolumes, type SugarKind, sugarVolumes } from './priming.ts'
import type { NextWork, SheetHead } from './sheet-head.ts'
import type { Strength } from './strength.ts'
import { fullWeight } from './weights.ts'

/** What instruments have shown of a batch. What was not measured is absent. */
export interface BatchReadings {
  /** Whether two gravities prove that fermentation has ended. */
  isProven: boolean
  /** Specific gravity, as last read. */
  gravity?: number | undefined
  /** °C, as last read; and the warmest since fermentation was expected to end. */
  celsius?: number | undefined
  warmestCelsius?: number | undefined
  /** Bar of the gauge, as last read. */
  gaugeBar?: number | undefined
  /** Volumes of CO₂, as last measured. */
  co2Volumes?: number | undefined
}

/** A run of the plan with what the set-up says of it. */
export interface RunToFill {
  decisionId: string
  batchId: string
  /** The code of the batch. Absent: its brew is yet to be made. */
  batchCode?: string | undefined
  readings: BatchReadings
  vessel: { id: string; name: string; kind: 'FERMENTER' | 'BRIGHT' }
  filler: { id: string; name: string }
  beer: { id: string; name: string; finalGravity?: number | undefined; isDryHopped: boolean }
  pack: {
    id: string
    name: string
    primed: boolean
    /** Millilitres of finings, and the volume of beer that they are for. Absent: none. */
    finings?: { product: string; amount: number; per: 'HECTOLITRE' | 'US_BEER_BARREL' | 'IMPERIAL_BARREL' } | undefined
    sugar?: SugarKind | undefined
    targetCarbonation?: number | undefined
    leastCarbonation?: number | undefined
    mostCarbonation?: number | undefined
    hopsPerLitre?: number | undefined
    purged?: boolean | undefined
    conditionIn: 'COLD' | 'WARM'
  }
  container: {
    id: string
    name: string
    kind: 'CASK' | 'KEG'
    nominalLitres: number
    /** Litres that one takes from the vessel, what is filled on top included (L2). */
    drawLitres: number
    tareKg?: number | undefined
    pressureBar?: number | undefined
  }
  quantity: number
  /** Litres that setting up the filler loses; 0 where another run of the day has the loss. */
  lossLitres: number
  /** Litres in the vessel when the work of the day is done. */
  leftLitres: number
  /** Whether the fills of the day empty the vessel. */
  isEmptied: boolean
  /** Where what is left goes that day or later. */
  movesOn?: { vesselName: string; on: LocalDate } | undefined
  /** The store in which it stands until it may leave. Absent: none is set up. */
  storeName?: string | undefined
  fitOn: LocalDate
  bestBefore: LocalDate
  lotCode: string
  /** Absent: not known. */
  strength?: Strength | undefined
  /** What the label says, line by line. */
  label: string[]
}

export interface FillFigures {
  finings?: Figure
  sugar?: Figure
  hops?: Figure
  sanitiser: Figure
  /** Volumes of CO₂ once the containers are conditioned. */
  carbonation: Figure
  /** CO₂ for the volume that is drawn; absent where the vessel may breathe. */
  co2?: Figure
  /** One full container. */
  weight: Figure
}

export interface FillSheetRun extends RunToFill {
  /** Litres that leave the vessel, without the loss. */
  litres: number
  /** One each for a cask; kegs have none. */
  closures: { keystones: number; shives: number }
  figures: FillFigures
  steps: FillStep[]
}

/** A fill of the day that a fact says already. */
export interface FilledAlready {
  factId: string
  isAssumed: boolean
  batchId: string
  batchCode: string
  packId: string
  packName: string
  quantity: number
  lotCode: string
}

export interface FillSheet extends SheetHead, NextWork {
  /** In working order: from fermenters first (T4). */
  runs: FillSheetRun[]
  filled: FilledAlready[]
  cautions: Caution[]
}

export interface FillSheetInput {
  head: SheetHead
  /** The runs of the day, in any order. */
  runs: readonly RunToFill[]
  filled: FilledAlready[]
  /** The next day with a run at the site. */
  nextDay?: LocalDate | undefined
}

/** Puts the sheet together. */
export function fillSheet({ head, runs, filled, nextDay }: FillSheetInput): FillSheet {
  const sheetRuns = [...runs].sort(inWorkingOrder).map(withFigures)
  const next = runs.length + filled.length === 0 ? { nextDay } : {}
  return { ...head, runs: sheetRuns, filled, ...next, cautions: cautionsOfRuns(sheetRuns) }
}

/** T4: fermenters before bright vessels; then filler by filler, and what needs one set-up together. */
function inWorkingOrder(a: RunToFill, b: RunToFill): number {
  const place = ({ vessel, filler, batchId, container, pack }: RunToFill) =>
    `${vessel.kind === 'FERMENTER' ? 0 : 1}\n${filler.name}\n${batchId}\n${container.kind}\n${pack.name}`
  return place(a) < place(b) ? -1 : 1
}

function withFigures(run: RunToFill): FillSheetRun {
  const figures = figuresOf(run)
  const { container, pack, beer, quantity } = run
  const casks = container.kind === 'CASK' ? quantity : 0
  const purge = purgeChoice({
    ...{ kind: container.kind, isDryHopped: beer.isDryHopped, isPrimed: pack.primed },
    setUp: pack.purged,
  })
  const steps = fillSteps({
    container: { name: container.name.toLowerCase(), kind: container.kind, ratingBar: container.pressureBar },
    doses: figures,
    purge,
    vessel: { kind: run.vessel.kind, isEmptied: run.isEmptied, co2: figures.co2 },
    store: { climate: pack.conditionIn, name: run.storeName, until: run.fitOn },
  })
  return {
    ...run,
    ...{ litres: quantity * container.drawLitres, closures: { keystones: casks, shives: casks }, figures, steps },
  }
}

function figuresOf(run: RunToFill): FillFigures {
  const { pack, container, readings, beer, vessel, isEmptied, quantity } = run
  const { nominalLitres: litres, drawLitres } = container
  const dissolved = dissolvedVolumes({
    measuredVolumes: readings.co2Volumes,
    warmestCelsiusSinceFermented: readings.warmestCelsius,
    presentCelsius: readings.celsius,
    presentGaugeBar: readings.gaugeBar,
  })
  const residue = residueVolumes({ presentGravity: readings.gravity, expectedFinalGravity: beer.finalGravity })
  const sugar = pack.primed
    ? primingSugar({
        ...{ isFermentationProven: readings.isProven, targetVolumes: pack.targetCarbonation, dissolved, residue },
        ...{ litres, sugar: pack.sugar },
      })
    : undefined
  const fromSugar = sugar && sugarVolumes({ grams: sugar, kind: pack.sugar, litres })
  const breathes = isEmptied && vessel.kind === 'FERMENTER'
  const drawn = { litres: quantity * drawLitres, topGaugeBar: readings.gaugeBar, celsius: readings.celsius }
  return {
    ...(pack.finings ? { finings: finingsDose(pack.finings, litres) } : {}),
    ...(sugar ? { sugar } : {}),
    ...(pack.hopsPerLitre === undefined ? {} : { hops: hopsDose({ amount: pack.hopsPerLitre, per: 'LITRE' }, litres) }),
    ...(breathes ? {} : { co2: co2ForDraw(drawn) }),
    sanitiser: sanitiserDose(litres),
    carbonation: expectedVolumes({ dissolved, residue, fromSugar }, bandOf(pack)),
    weight: fullWeight({ tareKg: container.tareKg, litres: drawLitres, finalGravity: beer.finalGravity }),
  }
}

/** A band that is open at an end is bounded by what no beer has. */
function bandOf({ leastCarbonation: from, mostCarbonation: to }: RunToFill['pack']) {
  return from === undefined && to === undefined ? undefined : { from: from ?? 0, to: to ?? Number.POSITIVE_INFINITY }
}

function cautionsOfRuns(runs: readonly FillSheetRun[]): Caution[] {
  const warns = (code: string) => runs.some(({ figures }) => warningsOf(figures).some((each) => each.code === code))
  const hasStep = (...codes: string[]) => runs.some(({ steps }) => steps.some(({ code }) => codes.includes(code)))
  return cautionsOf({
    draws: runs.length > 0,
    cleans: runs.some(({ isEmptied }) => isEmptied),
    closesCasks: hasStep('SHIVE'),
    opensReturned: hasStep('VENT_RETURNED'),
    purges: hasStep('PURGE_CASK', 'PURGE_KEG'),
    primes: runs.some(({ pack }) => pack.primed) || warns('ABOVE_BAND'),
    isUnfinished: runs.some(({ readings }) => !readings.isProven),
    handled: runs.map(({ container: { name, kind }, figures: { weight } }) => ({ name, kind, weight })),
  })
}

function warningsOf(figures: FillFigures): Figure['warnings'][number][] {
  return Object.values(figures).flatMap((figure: Figure | undefined) => [...(figure?.warnings ?? [])])
}

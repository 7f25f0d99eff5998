// The kinds of generated problems: what each changes in the spec, and which situations it makes certain.
import { addDays } from '../../src/planner/documents/index.ts'
import type { Random } from '../random.ts'
import type { ProblemSpec } from './spec.ts'
import {
  cutOffs,
  pastServeDays,
  priorities,
  promisedLines,
  splittableLines,
  wantBright,
  wantPrimed,
} from './twists-demand.ts'
import {
  closedDays,
  dayLimits,
  fillerExceptions,
  openedBatches,
  overdueBatches,
  overfullStores,
  ownCosts,
  quarantinedBatches,
  quarantinedLots,
  readyOnTheMinute,
  staleStock,
  type Twist,
  transferLimits,
  unprimableBatches,
  vesselsOut,
  washGroups,
} from './twists-supply.ts'

interface Kind {
  spec?: (spec: ProblemSpec, random: Random) => Partial<ProblemSpec>
  twists?: readonly Twist[]
}

const binding = (spec: ProblemSpec, random: Random, what: 'filler' | 'fleet' | 'store' | 'route' | 'brewhouse') => ({
  tightness: { ...spec.tightness, [what]: random.between(1.3, 1.9) },
})
const standing = { standingShare: 1 }
const primed = { primedShare: 1 }
const bright = (spec: ProblemSpec) => ({
  brightShare: 1,
  vesselCount: Math.max(spec.vesselCount, 2 * spec.timeZones.length),
})

/** Nights on which clocks change (IANA time zone database; Lord Howe moves by half an hour). */
export const CLOCK_CHANGES = [
  { timeZone: 'Europe/London', on: '2026-10-25' },
  { timeZone: 'Europe/London', on: '2027-03-28' },
  { timeZone: 'America/New_York', on: '2026-11-01' },
  { timeZone: 'America/New_York', on: '2027-03-14' },
  { timeZone: 'Australia/Lord_Howe', on: '2026-10-04' },
  { timeZone: 'Australia/Lord_Howe', on: '2027-04-04' },
] as const

const KINDS = {
  PLAIN: {},
  SEVERAL_SITES: {
    spec: (spec, random) => {
      const zones = random.shuffled([
        'Europe/London',
        'Europe/London',
        'America/New_York',
        'Australia/Lord_Howe',
        'Asia/Kathmandu',
      ])
      const timeZones = zones.slice(0, random.int(2, 3))
      return {
        timeZones,
        vesselCount: Math.max(spec.vesselCount, 2 * timeZones.length),
        beerCount: Math.max(spec.beerCount, 3),
      }
    },
  },
  PRIMED: { spec: () => primed, twists: [wantPrimed] },
  BRIGHT: { spec: bright, twists: [wantBright] },
  BINDING_FLEETS: { spec: (spec, random) => ({ ...binding(spec, random, 'fleet'), returnShare: 0.9 }) },
  BINDING_STORES: { spec: (spec, random) => binding(spec, random, 'store') },
  OVERFULL_STORES: { spec: (spec, random) => binding(spec, random, 'store'), twists: [overfullStores] },
  BINDING_FILLERS: { spec: (spec, random) => binding(spec, random, 'filler'), twists: [fillerExceptions] },
  BINDING_ROUTES: { spec: (spec, random) => binding(spec, random, 'route') },
  BINDING_BREWHOUSE: { spec: (spec, random) => binding(spec, random, 'brewhouse') },
  OVERDUE_BATCHES: { spec: () => standing, twists: [overdueBatches] },
  QUARANTINED_BATCHES: { spec: () => standing, twists: [quarantinedBatches] },
  UNPRIMABLE_BATCHES: { spec: () => ({ ...primed, ...standing }), twists: [wantPrimed, unprimableBatches] },
  OPENED_BATCHES: { spec: (spec) => ({ ...bright(spec), ...standing }), twists: [openedBatches] },
  CLOCK_CHANGE: {
    spec: (spec, random) => {
      const change = random.pick(CLOCK_CHANGES)
      const before = random.int(2, Math.max(2, Math.min(12, spec.horizonDays - 3)))
      return { timeZones: spec.timeZones.map(() => change.timeZone), today: addDays(change.on, -before) }
    },
    twists: [readyOnTheMinute],
  },
  OVERLOAD: {
    spec: (_, random) => {
      const tightness = random.between(1.3, 2)
      return {
        tightness: {
          tanks: tightness,
          filler: tightness,
          fleet: tightness,
          store: tightness,
          route: tightness,
          brewhouse: tightness,
        },
      }
    },
  },
  SPLITTABLE: { twists: [splittableLines] },
  PROMISED: {
    spec: (spec, random) => ({ tightness: { ...spec.tightness, tanks: random.between(1, 1.4) } }),
    twists: [promisedLines],
  },
  PRIORITIES: {
    spec: (spec, random) => ({ tightness: { ...spec.tightness, tanks: random.between(1, 1.4) } }),
    twists: [priorities],
  },
  STALE_STOCK: { spec: () => ({ stockDays: 6 }), twists: [staleStock] },
  VESSELS_OUT: { spec: () => standing, twists: [vesselsOut] },
  PAST_SERVE_DAYS: { twists: [pastServeDays] },
  ACCOUNT_RULES: {
    spec: (spec) => ({ accountRulesShare: 1, returnShare: 0.8, tightness: { ...spec.tightness, fleet: 1 } }),
  },
  CLOSED_DAYS: { twists: [closedDays] },
  OWN_COSTS: { twists: [ownCosts] },
  MIXED: {
    spec: (spec, random) => {
      const some = () => (random.chance(0.6) ? { value: random.between(0.7, 1.5) } : undefined)
      const [filler, fleet, store, route, brewhouse] = [some(), some(), some(), some(), some()]
      return {
        vesselCount: Math.max(2, spec.vesselCount),
        tightness: {
          tanks: random.between(0.7, 1.4),
          ...(filler && { filler: filler.value }),
          ...(fleet && { fleet: fleet.value }),
          ...(store && { store: store.value }),
          ...(route && { route: route.value }),
          ...(brewhouse && { brewhouse: brewhouse.value }),
        },
        brightShare: random.unit(),
        primedShare: random.unit(),
        standingShare: random.between(0.3, 1),
        stockDays: random.int(0, 6),
        splittableShare: random.between(0, 0.4),
        promisedShare: random.between(0, 0.5),
        priorityShare: random.unit(),
        accountRulesShare: random.between(0, 0.6),
        returnShare: random.unit(),
      }
    },
    twists: [
      wantPrimed,
      wantBright,
      overfullStores,
      fillerExceptions,
      overdueBatches,
      quarantinedBatches,
      unprimableBatches,
      staleStock,
      vesselsOut,
      pastServeDays,
      closedDays,
      ownCosts,
    ].map(sometimes),
  },
  BINDING_TRANSFERS: { spec: bright, twists: [wantBright, transferLimits] },
  BINDING_WASHING: {
    spec: (spec) => ({ beerCount: Math.max(spec.beerCount, 6) }),
    twists: [washGroups],
  },
  BINDING_CUT_OFFS: { twists: [cutOffs] },
  QUARANTINED_LOTS: { spec: () => ({ stockDays: 8 }), twists: [quarantinedLots] },
  DAY_LIMITS: { spec: bright, twists: [wantBright, dayLimits] },
} satisfies Record<string, Kind>

/** What a generated problem is about; MIXED has something of everything. */
export type ProblemKind = keyof typeof KINDS
/** Every kind, in a stable order. */
export const PROBLEM_KINDS = Object.keys(KINDS).filter(isKind)

/** What a kind changes. */
export function kindOf(kind: ProblemKind): Kind {
  return KINDS[kind]
}

function isKind(name: string): name is ProblemKind {
  return Object.hasOwn(KINDS, name)
}

function sometimes(twist: Twist): Twist {
  return (problem, random) => (random.chance(0.35) ? twist(problem, random.fork('twist')) : problem)
}

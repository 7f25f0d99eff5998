// What each kind of fact means for the ledger: the amounts that it moves, from where to where.
import { type Movement, type Posting, RANKS } from '../ledger/entry.ts'
import {
  accountPlace,
  cleanPlace,
  dirtyPlace,
  filledPlace,
  type Place,
  packedPlace,
  roadPlace,
  type Unit,
  vesselPlace,
} from '../ledger/place.ts'
import type { Fact, FactData, FactKind } from './fact.ts'

interface Meaning {
  rank: number
  movements: Movement[]
}

const NOTHING: Meaning = { rank: RANKS.COUNT, movements: [] }

const beer = (amount: number, from: Place, to: Place): Movement => ({ unit: 'MILLILITRES', amount, from, to })
const containers = (amount: number, from: Place, to: Place): Movement => ({ unit: 'CONTAINERS', amount, from, to })
/** The place holds so much then, by a count; what it held beyond goes to the sink. */
const sets = (unit: Unit, place: Place, amount: number, sink: Place): Movement => ({
  ...{ unit, amount: 0, from: place, to: sink },
  setsTo: amount,
})
const empties = (batchId: string): Movement => sets('MILLILITRES', vesselPlace(batchId), 0, 'REMAINDER')

interface FleetKey {
  siteId: string
  typeId: string
}
const clean = ({ siteId, typeId }: FleetKey) => cleanPlace(siteId, typeId)
const dirty = ({ siteId, typeId }: FleetKey) => dirtyPlace(siteId, typeId)

/** What each kind moves. A kind that moves nothing is not here. */
const MEANINGS: { [Kind in FactKind]?: (data: FactData<Kind>) => Meaning } = {
  BATCH_OPENING: ({ batchId, ml }) => at(RANKS.OPENING, [beer(ml, 'OPENING', vesselPlace(batchId))]),
  LOT_OPENING: ({ lotId, quantity, nominalMl }) =>
    at(RANKS.OPENING, [
      containers(quantity, 'OPENING', filledPlace(lotId)),
      beer(quantity * nominalMl, 'OPENING', packedPlace(lotId)),
    ]),
  FLEET_OPENING: (data) => at(RANKS.OPENING, [containers(data.quantity, 'OPENING', clean(data))]),

  BREWED: ({ batchId, ml, trubMl }) =>
    at(RANKS.BREW, [beer(ml, 'BREWED', vesselPlace(batchId)), beer(trubMl, vesselPlace(batchId), 'TRUB')]),
  TRANSFERRED: ({ batchId, ml }) => at(RANKS.TRANSFER, measured(batchId, ml)),
  MOVED: ({ batchId, ml }) => at(RANKS.TRANSFER, measured(batchId, ml)),
  PART_TRANSFERRED: ({ batchId, newBatchId, ml, emptied }) =>
    at(RANKS.TRANSFER, [
      beer(ml, vesselPlace(batchId), vesselPlace(newBatchId)),
      ...(emptied ? [empties(batchId)] : []),
    ]),
  BLENDED: ({ newBatchId, parents }) =>
    at(
      RANKS.TRANSFER,
      parents.flatMap(({ batchId, ml, emptied }) => [
        beer(ml, vesselPlace(batchId), vesselPlace(newBatchId)),
        ...(emptied ? [empties(batchId)] : []),
      ]),
    ),
  DUMPED: ({ batchId, ml = 0, all }) =>
    at(RANKS.DUMP, [
      beer(ml, vesselPlace(batchId), 'DUMPED'),
      ...(all ? [sets('MILLILITRES', vesselPlace(batchId), 0, 'DUMPED')] : []),
    ]),
  FILLED: filled,

  LOT_DESTROYED: (data) =>
    at(RANKS.LEAVE, [
      containers(data.quantity, filledPlace(data.lotId), data.keepsContainers ? dirty(data) : 'SCRAPPED'),
      beer(data.quantity * data.nominalMl, packedPlace(data.lotId), 'DUMPED'),
    ]),
  ISSUED: (data) =>
    at(RANKS.LEAVE, [
      containers(data.quantity, filledPlace(data.lotId), data.to === 'BREAKAGE' ? 'SCRAPPED' : dirty(data)),
    ]),

  DISPATCHED: ({ orderLineId, lots }) =>
    at(
      RANKS.DISPATCH,
      lots.map(({ lotId, quantity }) => containers(quantity, filledPlace(lotId), roadPlace(orderLineId, lotId))),
    ),
  DELIVERED: ({ orderLineId, accountId, lots, siteId, typeId }) =>
    at(
      RANKS.DELIVERY,
      lots.map(({ lotId, quantity }) =>
        containers(quantity, roadPlace(orderLineId, lotId), accountPlace(accountId, siteId, typeId)),
      ),
    ),
  REFUSED: ({ orderLineId, lots }) =>
    at(
      RANKS.DELIVERY,
      lots.map(({ lotId, quantity }) => containers(quantity, roadPlace(orderLineId, lotId), filledPlace(lotId))),
    ),

  RETURNED: (data) => {
    const from = accountPlace(data.accountId, data.siteId, data.typeId)
    return at(RANKS.RETURN, [
      containers(data.quantity - data.unfit, from, dirty(data)),
      containers(data.unfit, from, 'SCRAPPED'),
    ])
  },
  WASHED: (data) => at(RANKS.WASHING, [containers(data.quantity, dirty(data), clean(data))]),
  BOUGHT: (data) => at(RANKS.OPENING, [containers(data.quantity, 'BOUGHT', clean(data))]),
  SCRAPPED: (data) =>
    at(RANKS.COUNT, [containers(data.quantity, data.from === 'CLEAN' ? clean(data) : dirty(data), 'SCRAPPED')]),
  LOST: (data) => {
    const { accountId, siteId, typeId, quantity } = data
    const from = accountId === undefined ? clean(data) : accountPlace(accountId, siteId, typeId)
    return at(RANKS.COUNT, [containers(quantity, from, 'LOST')])
  },
  FOUND: (data) => at(RANKS.OPENING, [containers(data.quantity, 'FOUND', data.clean ? clean(data) : dirty(data))]),

  BATCH_COUNTED: ({ batchId, ml }) => at(RANKS.COUNT, [sets('MILLILITRES', vesselPlace(batchId), ml, 'LOST')]),
  LOT_COUNTED: ({ lotId, quantity }) => at(RANKS.COUNT, [sets('CONTAINERS', filledPlace(lotId), quantity, 'LOST')]),
  FLEET_COUNTED: (data) => at(RANKS.COUNT, [sets('CONTAINERS', clean(data), data.quantity, 'LOST')]),
}

/** What a fact posts, without what settles the places that it touches. */
export function postingsOf(fact: Fact): Posting[] {
  const { rank, movements } = meaningOf(fact)
  const { id: factId, day, recorded } = fact
  return movements
    .filter(({ amount, setsTo }) => amount > 0 || setsTo !== undefined)
    .map((movement) => ({ ...movement, factId, day, rank, recorded }))
}

/** Where a fact stands in the order within its day. */
export function rankOf(fact: Fact): number {
  return meaningOf(fact).rank
}

function at(rank: number, movements: Movement[]): Meaning {
  return { rank, movements }
}

/** All that was in the vessel moved on: what was measured then is what there is. */
function measured(batchId: string, ml: number | undefined): Movement[] {
  return ml === undefined ? [] : [sets('MILLILITRES', vesselPlace(batchId), ml, 'LOST')]
}

/** A fill takes beer for its containers, those that were spoiled too, and clean containers; spoiled ones are dirty. */
function filled(data: FactData<'FILLED'>): Meaning {
  const { batchId, lotId, quantity, spoiled, nominalMl, overfillMl, setUpMl, lostMl, emptied, from } = data
  const vessel = vesselPlace(batchId)
  return at(from === 'BRIGHT' ? RANKS.DRAW_FROM_BRIGHT : RANKS.DRAW_FROM_FERMENTER, [
    beer(setUpMl, vessel, 'SET_UP'),
    beer(quantity * nominalMl, vessel, packedPlace(lotId)),
    beer(quantity * overfillMl, vessel, 'OVERFILL'),
    beer(spoiled * (nominalMl + overfillMl) + lostMl, vessel, 'SPOILED'),
    containers(quantity, clean(data), filledPlace(lotId)),
    containers(spoiled, clean(data), dirty(data)),
    ...(emptied ? [empties(batchId)] : []),
  ])
}

function meaningOf<Kind extends FactKind>({ kind, data }: { kind: Kind; data: FactData<Kind> }): Meaning {
  return MEANINGS[kind]?.(data) ?? NOTHING
}

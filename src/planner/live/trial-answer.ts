// How one line is served by a plan that is open: its deliveries, where they come from, and what binds it.
import { type LocalDate, localDateOf } from '../calendar/days.ts'
import type { Reason } from '../documents/reason.ts'
import { type LotTake, lastServe, type RunTake } from '../model/batch.ts'
import { element } from '../model/element.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import type { Explain } from '../opening/export.ts'

export interface TrialSource {
  kind: 'STOCK' | 'FILLED' | 'BATCH' | 'NEW_BREW'
  quantity: number
  stockLotId?: string
  batchId?: string
  vesselId?: string
  fillerId?: string
  fillOn?: LocalDate
  brewOn?: LocalDate
  /** The day from which it is fit to leave: after conditioning (B3), or as the stock lot says; it may be over. */
  readyOn: LocalDate
}

export interface TrialDelivery {
  routeId: string
  dispatchOn: LocalDate
  /** The day from which it can be served: arrived and settled (B1). */
  fitOn: LocalDate
  /** The day on which it is served: that day, or the wanted one. */
  serveOn: LocalDate
  sources: TrialSource[]
}

export interface TrialAnswer {
  orderLineId: string
  quantity: number
  served: number
  /** Day of the last delivery's serving; null where nothing can be served. */
  serveOn: LocalDate | null
  onTime: boolean
  deliveries: TrialDelivery[]
  /** What binds the line, where it is late or not wholly served. */
  limits: Reason[]
}

/** How a line of the state is served; `explain` says what binds one that is late or short. */
export function answerOf(state: State, line: LineModel, explain: Explain): TrialAnswer {
  const { model } = state
  const placement = state.placements[line.index]
  const date = (day: number) => localDateOf(model.today + day)
  const last = lastServe(placement)
  const served = placement?.delivered ?? 0
  const onTime = served === line.quantity && last <= line.dueOn
  return {
    orderLineId: line.id,
    quantity: line.quantity,
    served,
    serveOn: last < 0 ? null : date(last),
    onTime,
    deliveries: (placement?.deliveries ?? []).map((delivery) => {
      const route = element(model.routes, delivery.route)
      return {
        routeId: route.id,
        dispatchOn: date(delivery.dispatch),
        fitOn: date(delivery.dispatch + route.transit + line.settle),
        serveOn: date(delivery.serve),
        sources: [
          ...delivery.lots.map((take) => ofLot(state, take)),
          ...delivery.runs.map((take) => ofRun(state, take)),
        ],
      }
    }),
    limits: onTime ? [] : explain(line),
  }
}

function ofLot({ model }: State, { lot, quantity }: LotTake): TrialSource {
  const { id, readyOn } = element(model.lots, lot)
  return { kind: 'STOCK', quantity, stockLotId: id, readyOn: localDateOf(model.today + readyOn) }
}

function ofRun(state: State, take: RunTake): TrialSource {
  const { model } = state
  const { batch } = take
  const date = (day: number) => localDateOf(model.today + day)
  const { id } = state.identity(batch)
  const pack = element(model.packs, take.pack)
  return {
    kind: take.fromSurplus > 0 ? 'FILLED' : batch.standing >= 0 || id !== undefined ? 'BATCH' : 'NEW_BREW',
    quantity: take.quantity,
    ...(id === undefined ? {} : { batchId: id }),
    vesselId: element(model.vessels, pack.bright ? batch.bright : batch.fermenter).id,
    fillerId: element(model.fillers, take.filler).id,
    fillOn: date(take.day),
    readyOn: date(take.day + pack.conditioning),
    ...(batch.brewOn >= 0 ? { brewOn: date(batch.brewOn) } : {}),
  }
}

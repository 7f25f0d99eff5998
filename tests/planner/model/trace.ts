// What a move of the search could leave behind in a state, for comparing before and after.
import type { State } from '../../../src/planner/model/state.ts'

/** Everything that a move could leave a trace in. */
export function trace(state: State) {
  return structuredClone({
    ledger: state.ledger,
    minutes: state.minutesUsed,
    washing: state.washing,
    clean: state.clean,
    plan: state.storePlan,
    stock: state.storeStock,
    routes: state.routeUsed,
    drops: state.drops,
    brews: state.brewsUsed,
    transfers: state.transfersUsed,
    lots: state.lotLeft,
    stays: state.stays.map((stays) => stays.map(({ start, end, stage }) => ({ start, end, stage }))),
    batches: state.batches.map((list) =>
      list
        .map(({ serial, transferOn, bright, left, brewed, runs, setups, users }) => ({
          ...{ serial, transferOn, bright, left, brewed, users: users.size },
          runs: runs.map((run) => JSON.stringify(run)).sort(),
          setups: setups.map((setup) => JSON.stringify(setup)).sort(),
        }))
        .sort((a, b) => a.serial - b.serial),
    ),
  })
}

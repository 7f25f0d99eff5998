// V3, lifted to explain a line: its sites have one more empty fermenter and one more empty bright vessel.
import { all, largestOf, type Relaxation, sitesOf, swap } from '../relaxation.ts'

/** One more of each at each site, like the largest there. */
export const vessels: Relaxation = {
  rule: 'V3',
  matters: (state, line) =>
    sitesOf(state, line).some(
      (site) => state.model.sites[site].fermenters.length + state.model.sites[site].brights.length > 0,
    ),
  lift: (state, line) => {
    const { model } = state
    const undos: (() => void)[] = []
    const beer = model.beers[line.beer]
    for (const site of sitesOf(state, line)) {
      for (const bright of [false, true]) {
        const largest = largestOf(state, bright ? model.sites[site].brights : model.sites[site].fermenters)
        if (largest === undefined) continue
        const index = model.vessels.length
        model.vessels.push({ ...model.vessels[largest], id: '', availableFrom: 0, outOfService: [], minFill: 0 })
        state.stays.push([])
        const siteModel = model.sites[site]
        const list = bright ? 'brights' : 'fermenters'
        undos.push(swap(siteModel, list, [...siteModel[list], index]))
        const allowed = new Uint8Array(index + 1)
        allowed.set(beer.allowed)
        allowed[index] = 1
        undos.push(swap(beer, 'allowed', allowed))
        undos.push(() => {
          model.vessels.pop()
          state.stays.pop()
        })
      }
    }
    return all(undos)
  },
  reason: (state, line) => ({
    rule: 'V3',
    code: 'NO_VESSEL_FREE',
    params: { beerId: state.model.beers[line.beer].id },
    resource: { kind: 'BEER', id: state.model.beers[line.beer].id },
  }),
}

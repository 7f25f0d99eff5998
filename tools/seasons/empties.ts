// Empties: what comes back from accounts, what is washed, and what the set-up said would come.
import { z } from 'zod'
import { some } from './mishaps.ts'
import { named, pageOf } from './shapes.ts'
import { type Shift, sayFacts } from './shift.ts'

const shape = z.object({
  containers: z.array(
    z.object({
      ...{ site: named, containerType: named, dirty: z.int() },
      accounts: z.array(z.object({ account: named, quantity: z.int(), expectedOn: z.string().nullable() })),
    }),
  ),
})

const QUERY = `{ containers { site { id name } containerType { id name } dirty
  accounts { account { id name } quantity expectedOn } } }`

const announcedShape = z.object({
  fleets: pageOf(
    z.object({
      ...{ site: named, containerType: named },
      returns: z.array(z.object({ on: z.string(), quantity: z.int() })),
    }),
  ),
  accounts: pageOf(z.object({ id: z.string(), routes: z.array(z.object({ site: named })) })),
})

const ANNOUNCED = `{ fleets { edges { node { site { id name } containerType { id name } returns { on quantity } } } }
  accounts(first: 100) { edges { node { id routes { site { id name } } } } } }`

/** What came back is washed first, then more comes back; those that are short come another day. */
export async function empties(shift: Shift): Promise<void> {
  const { api, day, random, diary } = shift
  const { containers } = await api.ask('floor', shape, QUERY)
  const facts: object[] = []
  let [washed, returned] = [0, 0]
  for (const { site, containerType, dirty, accounts } of containers) {
    const fleet = { site: { id: site.id }, containerType: { id: containerType.id } }
    if (dirty > 0 && !shift.strikes('unsaid')) {
      facts.push({ washed: { ...fleet, quantity: dirty } })
      washed += dirty
    }
    for (const { account, quantity, expectedOn } of accounts) {
      if (quantity === 0 || expectedOn === null || expectedOn > day || shift.strikes('returnShort')) continue
      const back = shift.strikes('returnShort') ? Math.max(1, quantity - some(random, quantity)) : quantity
      const unfit = shift.strikes('unfit') ? some(random, back) : 0
      if (back < quantity)
        diary.note('went wrong', `${quantity - back} ${containerType.name} stayed at ${account.name}`)
      facts.push({ returned: { ...fleet, account: { id: account.id }, quantity: back, unfit } })
      returned += back
    }
  }
  facts.push(...(await announced(shift)))
  if (!(await sayFacts(shift, facts))) return
  if (washed > 0) diary.note('came back', `${washed} empties washed`)
  if (returned > 0) diary.note('came back', `${returned} empties from the pubs`)
}

/** Containers of earlier weeks, which the set-up says come back on the day; somebody brings them, and some are missing. */
async function announced(shift: Shift): Promise<object[]> {
  const { api, day, random, diary } = shift
  const { fleets, accounts } = await api.ask('admin', announcedShape, ANNOUNCED)
  return fleets.flatMap(({ site, containerType, returns }) =>
    returns
      .filter(({ on }) => on === day)
      .map(({ quantity }) => {
        const ofSite = accounts.filter(({ routes }) => routes.some((route) => route.site.id === site.id))
        const missing = shift.strikes('returnShort') ? some(random, quantity - 1) : 0
        if (missing > 0) diary.note('went wrong', `${missing} ${containerType.name} did not come back`)
        const from = { account: { id: random.pick(ofSite).id }, quantity: quantity - missing }
        return { returned: { site: { id: site.id }, containerType: { id: containerType.id }, ...from } }
      }),
  )
}

// npm run distributor -- "Name" Europe/London: a new, empty distributor in the database that the settings name, with a key
// that may do everything, shown once. Exit code 2 for arguments that are not right.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { systemClock } from '../clock.ts'
import { isTimeZone } from '../planner/documents/index.ts'
import { ALL_SCOPES } from '../scopes.ts'
import { parseSettings } from '../settings.ts'

const given = z
  .tuple([z.string().trim().min(1).max(200), z.string().refine(isTimeZone)])
  .safeParse(process.argv.slice(2))
if (!given.success) {
  console.error('Usage: npm run distributor -- "Name of the brewery" Europe/London')
  process.exit(2)
}
const [name, timeZone] = given.data

// What works on the database takes seconds to load, which a wrong argument does not wait for.
const [{ openDatabase }, { hashKey }, { newKey }] = await Promise.all([
  import('../database/open-database.ts'),
  import('../resolvers/access/authenticate.ts'),
  import('../resolvers/access/keys.ts'),
])
const database = await openDatabase(parseSettings(process.env), (error) => console.error(`database: ${error.message}`))
try {
  const distributorId = randomUUID()
  const key = newKey()
  await database.client.$transaction(async (tx) => {
    await tx.distributor.create({ data: { id: distributorId, name, timeZone } })
    await tx.apiKey.create({
      data: {
        distributorId,
        id: randomUUID(),
        name: 'First key',
        hash: hashKey(key),
        scopes: [...ALL_SCOPES],
        createdAt: systemClock.now(),
      },
    })
  })
  console.log(`${name} is set up. Its first key may do everything and is shown only now:\n\n  ${key}\n`)
} finally {
  await database.close()
}

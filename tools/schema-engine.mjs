#!/usr/bin/env node
// Prisma's schema engine as a program: what PRISMA_SCHEMA_ENGINE_BINARY names (see prisma.config.ts). The command
// line would otherwise fetch a native one from a host that closed networks don't reach.
import { register } from 'tsx/esm/api'

register()
const { main } = await import('./schema-engine/main.ts')
process.exitCode = await main(process.argv.slice(2))

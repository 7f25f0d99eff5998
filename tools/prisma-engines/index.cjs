// What the Prisma command line asks of its package of engines. There is nothing to fetch: prisma.config.ts names the
// schema engine, and without that name the command line fails and says so.

/** The commit from which the WebAssembly build of the engine in package.json was made. */
exports.enginesVersion = '59be4fda12412a79eeb9c2ae727b6aa723593323'

exports.ensureNeededBinariesExist = async () => {}

exports.getEnginesPath = () => __dirname

import { main } from "./program.ts";

await main(process.argv.slice(2));

//! The page's JavaScript tools: fetched once by npm at the versions of the lock file, then run
//! by Node.js.

use std::path::Path;
use std::time::SystemTime;

use crate::command::Program;
use crate::fault::Outcome;
use crate::project::Project;

/// Fetches the tools with `npm ci` if they are missing or older than the lock file.
pub(crate) fn fetch_tools(project: &Project) -> Outcome<()> {
    let web = project.web();
    // npm writes this file last, so it tells that a fetch was completed.
    let fetched = changed(&web.join("node_modules/.package-lock.json"));
    let asked = changed(&web.join("package-lock.json"));
    if fetched.is_some() && fetched >= asked {
        return Ok(());
    }
    println!("Fetching the page's tools with npm ...");
    Program::new(if cfg!(windows) { "npm.cmd" } else { "npm" })
        .arguments(["ci", "--no-progress", "--loglevel=error"])
        // The tests use a browser that is installed already.
        .variable("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")
        .folder(web)
        .run()
}

/// A tool out of `web/node_modules`, named by its script's path there, run in `web`.
pub(crate) fn tool(project: &Project, script: &str) -> Program {
    let web = project.web();
    Program::node()
        .argument(web.join("node_modules").join(script))
        .folder(web)
}

fn changed(path: &Path) -> Option<SystemTime> {
    path.metadata().and_then(|file| file.modified()).ok()
}

"""What each command is for, with examples: the words of `hoggin --help`, of each command's own
`--help` and of `docs/commands.md`. `command_line` declares the arguments.

The tests run the examples, on a plant of the folder `examples`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Example(NamedTuple):
    """A whole command, and what it does."""

    command: str
    does: str


class Entry(NamedTuple):
    """A command: what it does, in one line of a list; more about it; examples."""

    does: str
    about: str
    examples: tuple[Example, ...]


def of(name: str) -> Entry:
    """The entry of a command, as `sweep` or `import gradings`."""
    return next(entries[name] for entries in MANUAL.values() if name in entries)


MANUAL: Mapping[str, Mapping[str, Entry]] = {
    "begin and look up": {
        "start": Entry(
            "ask four questions and write a first plant",
            "Asks for feed rate, largest piece, rock and products, balances several candidates and "
            "writes a plant that stays within the limits of its machine classes. An answer that "
            "is given as an option is not asked for. Read the file afterwards and enter your own "
            "grading and rock.",
            (
                Example("hoggin start plant.hog", "asks the four questions and writes plant.hog"),
                Example(
                    'hoggin start hill.hog --feed-rate "450 t/h" --rock granite',
                    "asks only for the largest piece and the products",
                ),
            ),
        ),
        "example": Entry(
            "list the example plants or copy one",
            "Copies an example plant, and the files that it uses, into this folder. Existing files "
            "are never overwritten. Without a name, it lists the examples. All of them are "
            "invented scenarios.",
            (
                Example("hoggin example", "lists the examples"),
                Example("hoggin example gravel --into trials", "copies the example `gravel`"),
            ),
        ),
        "classes": Entry(
            "list machine classes, grading bands and sieve series",
            "Lists what the libraries hold: each machine class with its `use` line, its dimensions "
            "and its settings with their ranges. With a part of a name, it lists the classes, "
            "grading bands and sieve series that have it in their names.",
            (
                Example("hoggin classes", "lists all machine classes"),
                Example("hoggin classes cone", "lists the cone crushers"),
                Example("hoggin classes c33", "lists the grading bands of ASTM C33"),
            ),
        ),
        "explain": Entry(
            "explain the code of an error or warning",
            "Explains what a code such as E0404 means, shows an example, and says how to correct "
            "the text. Codes of plug-ins are explained too.",
            (
                Example("hoggin explain E0404", "explains the error E0404"),
                Example("hoggin explain", "lists all codes"),
            ),
        ),
        "docs": Entry(
            "open the documentation, or list its pages",
            "Opens a page of the documentation in the browser, or prints it. Without a name, it "
            "lists the pages. They come with Hoggin, so this needs no network.",
            (
                Example("hoggin docs", "lists the pages"),
                Example("hoggin docs language --print", "prints the page on the language"),
            ),
        ),
    },
    "write and check": {
        "check": Entry(
            "report errors and warnings",
            "Reads plants and libraries and reports every error and warning with its file, line "
            "and column, and how to correct it. It does not balance plants, so it takes a fraction "
            "of a second.",
            (
                Example("hoggin check plant.hog", "checks one plant"),
                Example("hoggin check plant.hog ours.hog", "checks a plant and a library"),
            ),
        ),
        "format": Entry(
            "put files in the standard layout",
            "Aligns and indents plants and libraries. Comments and meaning stay as they are. "
            "Files with errors are not changed.",
            (
                Example("hoggin format plant.hog", "formats one file"),
                Example("hoggin format .", "formats every .hog file of this folder and below"),
                Example("hoggin format --check .", "changes nothing; exit code 5 if it would"),
            ),
        ),
        "balance": Entry(
            "balance a plant and print a summary or its tables",
            "Checks and balances a plant, rates its machines, and prints a summary: requirements, "
            "products, and what is over or near a limit. `--show` prints streams, gradings and the "
            "equipment schedule. It writes no files.",
            (
                Example("hoggin balance plant.hog", "prints the summary"),
                Example("hoggin balance plant.hog --show all", "prints all tables"),
                Example("hoggin balance plant.hog --case wet", "balances the plant's case `wet`"),
            ),
        ),
        "bench": Entry(
            "write a plant in the browser, with its flowsheet beside it",
            "Opens a page with the text of a plant on the left, and its flowsheet, requirements "
            "and tables on the right, updated as you type. It is for those who use no code editor. "
            "The "
            "command runs until Ctrl-C. Only this computer can open the page.",
            (
                Example("hoggin bench", "opens the plants of this folder"),
                Example("hoggin bench plant.hog", "opens one plant"),
            ),
        ),
        "view": Entry(
            "show the plant in a browser, updated at every save",
            "Opens a page with the flowsheet, the verdicts and the tables. The page follows the "
            "file: what a save changed is marked. The command runs until Ctrl-C. Only this "
            "computer can open the page.",
            (
                Example("hoggin view plant.hog", "opens the page in the usual browser"),
                Example("hoggin view plant.hog --no-browser", "prints the page's address only"),
            ),
        ),
    },
    "issue documents": {
        "issue": Entry(
            "write flowsheet, mass balance and equipment schedule",
            "Checks, balances and rates a plant, prints its requirements, and writes the documents "
            "as PDF, SVG, PNG, DXF, CSV, XLSX and JSON. If the plant has errors, no file is "
            "written. If a requirement is not met or a machine is overloaded, the documents say "
            "so.",
            (
                Example("hoggin issue plant.hog", "writes the documents to out/plant"),
                Example("hoggin issue plant.hog --into issue_B", "writes them to issue_B"),
                Example(
                    "hoggin issue plant.hog --since HEAD~1",
                    "also draws the changes since the last commit but one",
                ),
            ),
        ),
        "report": Entry(
            "write a report (HTML, PDF) and a workbook",
            "Writes a design report for a client: basis, flowsheet, verdicts, mass balance, "
            "schedule, data sheets and gradings, as one HTML page, one PDF and an XLSX workbook.",
            (
                Example("hoggin report plant.hog", "writes the report to out/plant/report"),
                Example(
                    "hoggin report plant.hog --since HEAD~1",
                    "adds a chapter on the changes since the last commit but one",
                ),
            ),
        ),
    },
    "compare revisions": {
        "compare": Entry(
            "show what differs between two revisions",
            "Shows which requirements, products, settings, machines and limits differ between two "
            "plants, two folders of plants, two issued results, or revisions in git.",
            (
                Example("hoggin compare before.hog plant.hog", "compares two files"),
                Example(
                    "hoggin compare HEAD~1:plant.hog plant.hog",
                    "compares the last commit but one with the file as it is now",
                ),
                Example(
                    "hoggin compare before.hog plant.hog --into changes",
                    "also draws both in one flowsheet, in the folder changes",
                ),
            ),
        ),
        "why": Entry(
            "show which edits changed a result, and by how much",
            "Splits the change of one result between two revisions among the edits that were made, "
            "by balancing plants with some of the edits only.",
            (
                Example(
                    "hoggin why before.hog plant.hog coarse.rate",
                    "shows what each edit did to the rate of the product `coarse`",
                ),
            ),
        ),
        "changes": Entry(
            "write the change log of a plant in git",
            "Writes an entry for each revision of the plant in git, newest first: what was "
            "changed, and the effect on requirements, products and machines.",
            (
                Example("hoggin changes plant.hog", "prints the log of all commits"),
                Example(
                    "hoggin changes plant.hog --tags --into changes.md",
                    "writes the log of the tagged revisions to changes.md",
                ),
            ),
        ),
        "review": Entry(
            "check and issue a folder of plants, and compare them",
            "Checks and issues every plant in a folder, and compares each with a revision in git. "
            "It is for the CI of a repository of plants, and for a colleague who reviews a change.",
            (
                Example("hoggin review plants", "checks and issues the plants of a folder"),
                Example(
                    "hoggin review plants --base main --summary review.md",
                    "also compares with the branch main, and writes a summary",
                ),
            ),
        ),
        "regress": Entry(
            "check plants against recorded results",
            "Balances many plants, checks their requirements, and compares their results with "
            "those that were recorded when somebody last accepted them. It is for a library that "
            "many plants use.",
            (
                Example("hoggin regress plants", "checks every plant in the folder plants"),
                Example(
                    'hoggin regress plants --accept --reason "coarser feed" --by "A. B."',
                    "records the results as they are now",
                ),
            ),
        ),
    },
    "study": {
        "sweep": Entry(
            "vary settings over a range, as a grid, or by a table's rows",
            "Balances the plant at many values of one or two settings, or once for each row of a "
            "table, and shows the results, where each requirement is met, and plots.",
            (
                Example(
                    'hoggin sweep plant.hog --over "cone.css 11 mm to 16 mm in 6"',
                    "balances the plant at 6 settings of the cone",
                ),
                Example(
                    'hoggin sweep plant.hog --over "cone.css 12 mm, 14 mm" --result cone.load',
                    "shows the cone's load at two settings",
                ),
                Example(
                    "hoggin sweep plant.hog --rows trials.csv",
                    "balances each row of trials.csv, whose columns are settings",
                ),
            ),
        ),
        "uncertainty": Entry(
            "show how uncertain inputs spread the results",
            "Samples the numbers that the plant states as uncertain, such as `rate normal(120 t/h, "
            "5 %)`, and shows the P10, P50 and P90 of the results, the chance of meeting each "
            "requirement, and which numbers cause the spread.",
            (
                Example("hoggin uncertainty plant.hog", "takes 1024 samples"),
                Example(
                    "hoggin uncertainty plant.hog --samples 100 --no-ranking",
                    "takes 100 samples for a first impression",
                ),
            ),
        ),
        "simulate": Entry(
            "run a shift, a week or a year through bins and stockpiles",
            "Runs the plant through time: stores fill and run empty, machines fail and are "
            "repaired. It shows how long each section ran and why it stopped, the tonnes of each "
            "product, and the bottleneck.",
            (
                Example("hoggin simulate plant.hog", "simulates a week, 200 times"),
                Example(
                    'hoggin simulate plant.hog --for "8 h" --runs 50',
                    "simulates eight hours, 50 times",
                ),
            ),
        ),
    },
    "find better settings": {
        "design": Entry(
            "find the free settings that serve the plant's aims best",
            "Finds values for the settings that the plant leaves free, such as `css free(11 mm to "
            "16 mm)`, so that all requirements are met and the aims (`maximize`, `minimize`) are "
            "served best. It also shows which limits bind, and what relaxing them would gain.",
            (
                Example("hoggin design plant.hog", "prints the settings that were found"),
                Example(
                    "hoggin design plant.hog --into best.hog",
                    "also writes the plant with these settings to best.hog",
                ),
            ),
        ),
        "mix": Entry(
            "find the proportions of products that fit a grading band best",
            "Balances the plant and finds the proportions of its products whose mix fits a grading "
            "band with the largest margin.",
            (
                Example(
                    "hoggin mix plant.hog astm.c33_57",
                    "mixes all products for ASTM C33 size number 57",
                ),
                Example(
                    "hoggin mix plant.hog astm.c33_57 coarse fine",
                    "mixes the products `coarse` and `fine` only",
                ),
            ),
        ),
    },
    "use measured data": {
        "import": Entry(
            "read gradings, products or machine tables from a sheet",
            "Reads a CSV or XLSX sheet and writes its contents as a library that plants can use. "
            "What was guessed is reported. All errors are reported in one run, each with its cell.",
            (
                Example(
                    "hoggin import gradings lab.csv --into lab.hog",
                    "writes every sample of lab.csv as a named grading",
                ),
            ),
        ),
        "import gradings": Entry(
            "every sample of a laboratory's sheet",
            "Every sample of a sheet of sieve analyses becomes a named grading, which a feed can "
            "use.",
            (
                Example(
                    "hoggin import gradings lab.csv --into lab.hog",
                    "writes the samples of lab.csv to lab.hog",
                ),
                Example(
                    "hoggin import gradings lab.csv --values passing --sieves down",
                    "says what the sheet holds instead of detecting it, and prints the library",
                ),
            ),
        ),
        "import products": Entry(
            "a table of products, limits and rates",
            "A table of products with the limits of their gradings and the rates wanted becomes "
            "grading bands and `require` lines.",
            (
                Example(
                    "hoggin import products wanted.csv --into wanted.hog",
                    "writes the products of wanted.csv to wanted.hog",
                ),
            ),
        ),
        "import table": Entry(
            "a machine's product and capacity by setting",
            "A table of product gradings and capacities by setting becomes a machine class that "
            "extends a class of a library.",
            (
                Example(
                    "hoggin import table jaw.csv --extends std.jaws.single_toggle --into ours.hog",
                    "writes the jaw crusher of jaw.csv as a class of ours.hog",
                ),
            ),
        ),
        "fit": Entry(
            "calibrate a machine class to measured gradings",
            "Fits the breakage coefficients of a crusher class to gradings of feed and product, by "
            "least squares, and writes the fitted class as a library, with confidence limits and a "
            "plot of the residuals.",
            (
                Example(
                    "hoggin fit cuts.csv --class std.cones.high_speed --into ours.hog",
                    "fits the class to the samples of cuts.csv",
                ),
            ),
        ),
    },
    "set up": {
        "completion": Entry(
            "print the script that completes commands at the Tab key",
            "Prints a script for a shell, which then completes commands, options, files, and the "
            "names in the plant that is on the line: cases, settings, products and results. The "
            "first lines of the script say how to load it now, and how to load it in every new "
            "shell.",
            (
                Example("hoggin completion bash", "prints the script for bash"),
                Example("hoggin completion powershell", "prints the script for PowerShell"),
            ),
        ),
        "editor": Entry(
            "show which text editors Hoggin can be added to",
            "Lists the text editors of this machine that can highlight and check `.hog` files.",
            (Example("hoggin editor", "lists the editors that were found"),),
        ),
        "editor install": Entry(
            "add Hoggin to the text editors of this machine",
            "Adds the extension or the files for `.hog` files to each editor that was found, and "
            "says what it did. With names, it sets up these editors only: "
            "`hoggin editor install vim`.",
            (
                Example(
                    "hoggin editor install --into editors",
                    "only writes the files, for another machine",
                ),
            ),
        ),
        "repository": Entry(
            "write the files of a git repository for plants",
            "Writes a workflow for CI, hooks that check and format before a commit, and the "
            "settings by which git compares plants. Existing files are not changed.",
            (Example("hoggin repository plants", "writes the files to the folder plants"),),
        ),
        "notices": Entry(
            "list third-party works in Hoggin, with licences",
            "Lists the third-party works that Hoggin contains, and the packages that it is "
            "installed with, each with its licence.",
            (
                Example("hoggin notices", "lists all works and packages"),
                Example("hoggin notices numpy", "prints the licence of numpy"),
            ),
        ),
        "plugins": Entry(
            "list the installed plug-ins and test each",
            "Lists what other installed packages add: process models, libraries, checks and "
            "documents. A plug-in that can't be loaded is reported, and the exit code is 2.",
            (Example("hoggin plugins", "lists the plug-ins"),),
        ),
    },
    "for other programs": {
        "language-server": Entry(
            "serve a code editor over standard input and output",
            "Answers a code editor by the Language Server Protocol. The editor starts it; "
            "docs/editors.md says how to set an editor up.",
            (Example("hoggin language-server", "serves until the editor ends it"),),
        ),
        "facts": Entry(
            "print every fact of a file in a fixed order",
            "Prints what a plant or library states, one fact a line, in an order that does not "
            "depend on the order of the text. Two files with the same facts print the same lines.",
            (Example("hoggin facts plant.hog", "prints the facts of plant.hog"),),
        ),
        "git-compare": Entry(
            "compare two versions of a file for git",
            "Git calls it to show how two versions of a plant differ. docs/revisions.md says how "
            "to set git up.",
            (
                Example(
                    'git config diff.hoggin.command "hoggin git-compare"',
                    "sets it up in a repository",
                ),
            ),
        ),
        "git-merge": Entry(
            "merge two versions of a file for git",
            "Git calls it to merge two versions of a plant, fact by fact. docs/revisions.md "
            "says how to set git up.",
            (
                Example(
                    'git config merge.hoggin.driver "hoggin git-merge %O %A %B %L %P"',
                    "sets it up in a repository",
                ),
            ),
        ),
        "schema": Entry(
            "print the JSON schema of the results document",
            "Prints the JSON schema of `results.json`, for programs that read it.",
            (Example("hoggin schema", "prints the schema"),),
        ),
        "reference": Entry(
            "write the reference pages of the docs",
            "Writes the pages that are generated from the compiler's declarations: commands, "
            "language, classes, models and diagnostics.",
            (Example("hoggin reference docs", "writes the pages to the folder docs"),),
        ),
    },
}

"""Pages: the templates that the desk fills."""

import mimetypes
from importlib.resources import files

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from deckbuilder.desk.choices import offered, speech_of
from deckbuilder.desk.state import desk_of
from deckbuilder.pages import environment
from deckbuilder.speech import code, speaking

# What a system says of endings may be anything; a script of another type is not run.
mimetypes.add_type("text/javascript", ".js")
mimetypes.add_type("text/css", ".css")


def page(name: str, **context: object) -> str:
    """Return a page.

    Args:
        name: of its template.
        context: what it shows.
    """
    return environment("deckbuilder.desk").get_template(name).render(context)


async def _home(request: Request) -> Response:
    speech, folder = speech_of(request), desk_of(request).folder

    def made() -> str:
        with speaking(speech):
            return page("desk.html", choices=offered(folder), code=code(), speech=speech)

    return HTMLResponse(await run_in_threadpool(made))


ROUTES = (
    Route("/", _home),
    Mount("/static", StaticFiles(directory=str(files("deckbuilder.desk") / "static"))),
)

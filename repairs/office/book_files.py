"""Ratings as files: taken in with a preview, written out, and the file to begin with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from django.contrib import messages
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bearings.public import (
    BookError,
    Source,
    StaleBookError,
    book_file,
)
from repairs.ledger.services import LedgerError, hash_body
from repairs.long_work.models import LongWork
from repairs.long_work.services import start_long_work
from repairs.long_work.views import progress_context
from repairs.office.book_file_forms import FileForm, ImportForm, file_initial
from repairs.office.book_importing import CHECK, IMPORT, Target, check_kept, import_kept, import_words
from repairs.office.book_preview import preview_context, seen_again
from repairs.office.kept_files import FileGoneError, is_long
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_BOOK)
def book_import(request: ShopRequest) -> HttpResponse:
    """Choose a file and its source; a short file is previewed at once, a long one in the background."""
    if request.method == "GET":
        return _chooser(request, FileForm(initial={"source": request.GET.get("source", "")[:20]}))
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _chooser(request, form, status=422)
    digest, name, target = form.cleaned_data["digest"], form.cleaned_data["name"], form.target()
    try:
        if is_long(digest):
            return redirect("office:book_checked", pk=_start_check(request, form).pk)
        context = preview_context(check_kept(digest, target), digest=digest, name=name, target=target)
    except book_file.BookFileError as error:
        return _chooser(request, form, notes=[one.as_dict() for one in error.notes], status=422)
    except (FileGoneError, BookError) as error:
        form.add_error(None, str(error))
        return _chooser(request, form, status=422)
    return render(request, "office/book_preview.html", context, status=422 if context["wrong"] else 200)


def _chooser(request: ShopRequest, form: FileForm, status: int = 200, **more: Any) -> HttpResponse:
    columns = [(one, book_file.CONTENTS[one.field]) for one in book_file.COLUMNS.values()]
    context = {"form": form, "columns": columns, **more}
    return render(request, "office/book_import.html", context, status=status)


def _start_check(request: ShopRequest, form: FileForm) -> LongWork:
    data = form.cleaned_data
    kept = {"digest": data["digest"], "name": data["name"], "target": asdict(form.target())}
    key = hash_body({"key": data["form_key"], **kept})
    return start_long_work(kind=CHECK, asked_by=actor_of(request), parameters=kept, key=key)


@require_GET
@allow(Permission.EDIT_BOOK)
def book_checked(request: ShopRequest, pk: int) -> HttpResponse:
    """Show how far the check of a long file is, then its preview."""
    work = get_object_or_404(LongWork, pk=pk, kind=CHECK)
    if work.state != LongWork.State.DONE:
        return render(request, "office/book_checking.html", progress_context(work))
    kept = {**work.parameters, "target": Target(**work.parameters["target"])}
    if "refused" in work.outcome:
        return _chooser(request, FileForm(initial=file_initial(**kept)), notes=work.outcome["refused"])
    return render(request, "office/book_preview.html", preview_context(work.outcome, work=work, **kept))


@require_POST
@allow(Permission.EDIT_BOOK)
def book_take_in(request: ShopRequest) -> HttpResponse:
    """Take a previewed file in: a short one now, a long one in the background."""
    form = ImportForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(str(words[0]) for words in form.errors.values()))
        return redirect("office:book_import")
    try:
        context = seen_again(form)
        return _take_in(request, form) if form.is_valid() else _refused(request, context)
    except StaleBookError as error:
        return _not_taken_in(request, form, error, 409)
    except (BookError, book_file.BookFileError, FileGoneError, LedgerError) as error:
        return _not_taken_in(request, form, error, 422)


def _refused(request: ShopRequest, context: dict[str, object]) -> HttpResponse:
    return render(request, "office/book_preview.html", context, status=422)


def _take_in(request: ShopRequest, form: ImportForm) -> HttpResponse:
    actor, order, key = actor_of(request), form.order(), form.cleaned_data["form_key"]
    if form.cleaned_data["work"]:
        work = start_long_work(kind=IMPORT, asked_by=actor, parameters=order.as_parameters(), key=key)
        return redirect("long_work", pk=work.pk)
    answer = import_kept(actor=actor, key=key, order=order)
    messages.success(request, import_words(answer["counts"]))
    return redirect("office:source", pk=answer["source"])


def _not_taken_in(request: ShopRequest, form: ImportForm, error: Exception, status: int) -> HttpResponse:
    """Say why nothing was written; the file stays chosen."""
    data = form.cleaned_data
    chosen = FileForm(initial=file_initial(digest=data["digest"], name=data["name"], target=data["target"]))
    messages.error(request, str(error))
    return _chooser(request, chosen, status=status)


@require_GET
@allow(Permission.VIEW_SHOP)
def book_export(request: ShopRequest, pk: int) -> StreamingHttpResponse:
    """Write every rating of a source as a file."""
    source = get_object_or_404(Source, pk=pk)
    return _csv(book_file.export_lines(source), f"{slugify(str(source)) or 'ratings'}.csv")


@require_GET
@allow(Permission.VIEW_SHOP)
def book_template(request: ShopRequest) -> StreamingHttpResponse:
    """Give the file to begin with."""
    return _csv(book_file.template_lines(), "ratings-template.csv")


def _csv(lines: Iterator[str], name: str) -> StreamingHttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8", headers=headers)

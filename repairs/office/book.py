"""The bearing book: what the makers print, source by source, in the shop's own hands."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods
from django.views.decorators.vary import vary_on_headers

from bearings.public import BookError, Rating, Source, StaleBookError
from repairs.ledger.services import LedgerError
from repairs.office.book_entries import correct_rating, correct_source, enter_rating, enter_source
from repairs.office.book_filling import filled_form
from repairs.office.book_forms import RatingForm, SourceForm, rating_initial, take_refusal
from repairs.office.book_rows import differing_fields, drawing_of, figure_rows, kind_words, rating_rows
from repairs.office.match_question import envelope_query
from repairs.office.recheck_offer import offer_context
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.judging import ONE_WAY_TYPES

PAGE = 50
SOURCE_FIELDS = ("maker", "title", "edition", "published_on", "note", "version")


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def book(request: ShopRequest) -> HttpResponse:
    """Show the sources, and find a rating as one types."""
    typed = request.GET.get("q", "")[:60]
    found = list(Rating.objects.found_by(typed)[: PAGE + 1]) if typed.strip() else []
    context = {"q": typed, "found": rating_rows(found[:PAGE]), "more": len(found) > PAGE, "most": PAGE}
    if request.htmx and not request.htmx.history_restore_request:
        return render(request, "office/_ratings_found.html", context)
    context |= {"sources": Source.objects.with_counts(), "may_edit": request.user.may(Permission.EDIT_BOOK)}
    return render(request, "office/book.html", context | offer_context(request))


@require_GET
@allow(Permission.VIEW_SHOP)
def source(request: ShopRequest, pk: int) -> HttpResponse:
    """Show a source and what is entered of it."""
    shown = get_object_or_404(Source, pk=pk)
    pages = Paginator(shown.ratings.order_by("designation_key", "variant", "cage"), PAGE)
    page = pages.get_page(request.GET.get("page"))
    context = {
        "source": shown,
        "page_obj": page,
        "rows": rating_rows(page.object_list),
        "may_edit": request.user.may(Permission.EDIT_BOOK),
        **offer_context(request, about=shown),
    }
    return render(request, "office/source.html", context)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_BOOK)
def source_new(request: ShopRequest) -> HttpResponse:
    """Put a source into the book."""
    form = SourceForm(request.POST or None, initial={"form_key": uuid4().hex})
    if request.method == "POST":
        pk, status = _entered(form, lambda: enter_source(
            actor=actor_of(request), form_key=form.cleaned_data["form_key"], fields=form.fields_of_source()
        ))  # fmt: skip
        if pk:
            messages.success(request, _("Source added. Add its ratings next."))
            return redirect("office:source", pk=pk)
        return render(request, "office/source_form.html", {"form": form}, status=status)
    return render(request, "office/source_form.html", {"form": form})


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_BOOK)
def source_edit(request: ShopRequest, pk: int) -> HttpResponse:
    """Change what is said of a source."""
    shown = get_object_or_404(Source, pk=pk)
    initial = {name: getattr(shown, name) for name in SOURCE_FIELDS}
    form, status = SourceForm(request.POST or None, initial=initial), 200
    if request.method == "POST":
        _source, status = _entered(form, lambda: correct_source(
            actor=actor_of(request), source=shown, version=_seen(form), fields=form.fields_of_source()
        ))  # fmt: skip
        if status == 200:
            messages.success(request, _("Source saved."))
            return redirect("office:source", pk=pk)
    context = {
        "form": form,
        "source": shown,
        "differences": _stale(form, shown, SourceForm(initial=initial), status),
    }
    return render(request, "office/source_form.html", context, status=status)


@require_GET
@allow(Permission.VIEW_SHOP)
def rating(request: ShopRequest, pk: int) -> HttpResponse:
    """Show every figure of a rating, and the same designation in other sources."""
    shown = get_object_or_404(Rating.objects.select_related("source"), pk=pk)
    context = {
        "rating": shown,
        "type_name": kind_words(shown),
        "imperial": request.user.units == "us",
        "one_way": shown.type in ONE_WAY_TYPES,
        "may_edit": request.user.may(Permission.EDIT_BOOK),
        "groups": figure_rows(shown, request.user.units),
        "drawing": drawing_of(shown, request.user.units),
        "others": rating_rows(Rating.objects.same_designation(shown)),
        **offer_context(request, why="rating", about=f"{shown}, {shown.source}"),
        "match_query": envelope_query(shown),
    }
    return render(request, "office/rating.html", context)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_BOOK)
def rating_new(request: ShopRequest, pk: int) -> HttpResponse:
    """Enter a rating of a source."""
    into = get_object_or_404(Source, pk=pk)
    if "fill" in request.POST:
        return _filled(request, {"source": into})
    form, status = RatingForm(request.POST or None, initial={"form_key": uuid4().hex}), 200
    if request.method == "POST":
        entered, status = _entered(form, lambda: enter_rating(
            actor=actor_of(request),
            form_key=form.cleaned_data["form_key"],
            source=into,
            fields=form.fields_of_rating(),
        ))  # fmt: skip
        if entered:
            messages.success(
                request, _("{designation} added.").format(designation=form.cleaned_data["designation"])
            )
            return redirect("office:rating", pk=entered)
    return render(request, "office/rating_form.html", {"form": form, "source": into}, status=status)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_BOOK)
def rating_edit(request: ShopRequest, pk: int) -> HttpResponse:
    """Correct a rating."""
    shown = get_object_or_404(Rating.objects.select_related("source"), pk=pk)
    if "fill" in request.POST:
        return _filled(request, {"source": shown.source, "rating": shown})
    initial = rating_initial(shown)
    form, status = RatingForm(request.POST or None, initial=initial), 200
    if request.method == "POST":
        _rating, status = _entered(form, lambda: correct_rating(
            actor=actor_of(request), rating=shown, version=_seen(form), fields=form.fields_of_rating()
        ))  # fmt: skip
        if status == 200:
            messages.success(
                request, _("{designation} saved.").format(designation=form.cleaned_data["designation"])
            )
            return redirect("office:rating", pk=pk)
    differences = _stale(form, shown, RatingForm(initial=initial), status)
    context = {"form": form, "source": shown.source, "rating": shown, "differences": differences}
    return render(request, "office/rating_form.html", context, status=status)


def _filled(request: ShopRequest, context: dict[str, object]) -> HttpResponse:
    """Show the form as it is typed, its empty sizes filled by the designation; nothing is saved."""
    form, words = filled_form(request.POST)
    return render(request, "office/rating_form.html", {**context, "form": form, "filled": words})


def _seen(form: forms.Form) -> int:
    """Return the version that the form was made from; without one nothing was seen."""
    return form.cleaned_data.get("version") or -1


def _entered(form: forms.Form, work: Any) -> tuple[Any, int]:
    """Do the work; return what came of it and 200, or nothing and 422 or 409 with the reasons in the form."""
    if not form.is_valid():
        return None, 422
    try:
        return work(), 200
    except StaleBookError as error:
        form.add_error(None, str(error))
        return None, 409
    except BookError as error:
        take_refusal(form, error)
    except LedgerError as error:
        form.add_error(None, str(error))
    return None, 422


def _stale(
    form: forms.Form, stored: Source | Rating, now: forms.Form, status: int
) -> list[tuple[str, str, str]]:
    """Return what differs from a stored row that changed meanwhile; what is typed may then be sent again."""
    if status != 409:
        return []
    # Sending it again now means "mine", because both are seen.
    form.data = {name: form.data[name] for name in form.data} | {"version": str(stored.version)}
    return differing_fields(now, form)
